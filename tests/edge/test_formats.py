"""How answers are written: JSON lines, CSV, table. Columns and keys are those of the published contract."""

import csv
import io
import json
import unicodedata
from collections import Counter
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from hazmat.core.assess import Assessment
from hazmat.core.findings import Finding
from hazmat.edge import writer
from tests.edge.strategies import encoded, line_text
from tests.edge.test_answers import KEYS, answer, places_left_out

TURNS = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
"""Characters that turn the direction of writing."""
HEADER = "id,rulebook,edition,on,class,basis,force,band,care,because,cite,next,good_until"
ANY_TEXT = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40)


def drum(**keys: Any) -> Assessment:
    return answer(encoded({"id": "A1", "kind": "drum", **keys}), "us")


def saying(words: str) -> Assessment:
    """An answer whose first reason says this."""
    return drum()._replace(because=(Finding("k", words, "40 CFR 761.2", "read"),))


def cells(row: str) -> list[str]:
    (read,) = csv.reader(io.StringIO(row, newline=""), strict=True)
    return read


# ---------------------------------------------------------------------- JSON lines


def test_keys_stand_in_the_order_of_the_contract() -> None:
    given = json.loads(writer.JsonLines().line(drum(marks=["pcb_mark"], role="holder", decided_waste="2026-01-05")))
    assert list(given) == KEYS
    assert {tuple(one) for one in given["because"]} == {("key", "says", "cite", "basis")}
    assert {tuple(one) for one in given["next"]} == {("act", "says")}
    assert {tuple(one) for one in given["duties"]} <= {("name", "says", "due", "cite")}
    assert {tuple(one) for one in given["problems"]} <= {("field", "says")}


@given(line_text)
def test_an_id_comes_back_as_it_was(name: str) -> None:
    line = writer.JsonLines().line(drum(id=name))
    assert json.loads(line)["id"] == name
    assert line.count(b"\n") == 1


# ---------------------------------------------------------------------- CSV


def test_the_header_is_that_of_the_contract() -> None:
    assert writer.csv_header() == HEADER + "\n"


def test_csv_gives_the_first_reason_its_document_and_the_first_next_act() -> None:
    one = drum()
    found = dict(zip(HEADER.split(","), cells(writer.csv_row(one)), strict=True))
    assert found["because"] == one.because[0].says
    assert found["cite"] == one.because[0].cite
    assert found["next"] == one.next[0].says
    assert (found["id"], found["rulebook"], found["on"]) == ("A1", "us", "2026-11-25")
    assert found["class"] == one.klass


def test_csv_leaves_a_cell_empty_where_nothing_is_known() -> None:
    one = drum()._replace(rulebook=None, edition=None, force=None, good_until=None)
    found = dict(zip(HEADER.split(","), cells(writer.csv_row(one)), strict=True))
    assert (found["rulebook"], found["edition"], found["force"], found["good_until"]) == ("", "", "", "")


@pytest.mark.parametrize("lead", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_a_cell_is_never_a_formula(lead: str) -> None:
    """A sheet takes a cell that begins so for a formula: OWASP, CSV Injection,
    https://owasp.org/www-community/attacks/CSV_Injection."""
    name = f'{lead}HYPERLINK("x","y")'
    found = cells(writer.csv_row(drum()._replace(id=name)))
    assert found[0] == f"'{name}"
    assert cells(writer.csv_row(saying(name)))[HEADER.split(",").index("because")] == f"'{name}"


@given(st.one_of(line_text, ANY_TEXT, st.text(st.sampled_from(list(",\"'\n\r;\t =A")), min_size=1, max_size=8)))
def test_a_cell_comes_back_as_it_was(words: str) -> None:
    """Read by the rules of RFC 4180, https://www.rfc-editor.org/rfc/rfc4180: quotes, commas, line ends."""
    found = cells(writer.csv_row(saying(words)._replace(id=words)))
    assert len(found) == len(HEADER.split(","))
    for cell in (found[0], found[9]):
        assert cell in (words, f"'{words}")


@given(places_left_out)
def test_every_answer_is_one_row(unit: dict[str, Any]) -> None:
    assert len(cells(writer.csv_row(answer(encoded(unit), "us")))) == len(HEADER.split(","))


# ---------------------------------------------------------------------- table


@pytest.mark.parametrize("width", [1, 40, 80, 94, 100, 120, 200])
def test_no_line_of_a_table_is_wider_than_the_screen(width: int) -> None:
    """A screen narrower than the columns gets them whole, with the sentences under them."""
    rows = writer.table_rows(drum(marks=["pcb_mark"]), width)
    assert max(map(len, rows.splitlines())) <= max(width, 54)
    assert max(map(len, writer.table_header(width).splitlines())) <= max(width, 54)
    assert rows.endswith("\n")


@pytest.mark.parametrize("width", [80, 109, 110, 140])
def test_reason_and_act_begin_in_one_column(width: int) -> None:
    """Beside the columns where there is room for it, under them where there is not."""
    head, *below = writer.table_rows(saying("W" * 20), width).splitlines()
    act = next(line for line in below if "→" in line).index("→")
    assert (head if width >= 110 else below[0]).index("W" * 20) == act
    assert ("why" in writer.table_header(width)) is (width >= 110)


def test_a_row_of_a_table_names_unit_law_class_basis_care_reason_and_act() -> None:
    one = drum()
    rows = writer.table_rows(one, 400).splitlines()
    assert len(rows) == 2
    assert rows[0].split()[:5] == ["A1", "us", one.klass, one.basis, one.care]
    assert rows[0].endswith(f"{one.because[0].says} [{one.because[0].cite}]")
    assert rows[1].strip() == f"→ {one.next[0].says}"
    header = writer.table_header(400)
    for word in ("unit", "law", "class", "basis", "care"):
        assert word in header
    place = header.splitlines()[-1].index("why")
    assert rows[0][place:].startswith(one.because[0].says)
    assert rows[1][:place].isspace()


@pytest.mark.parametrize("length", [11, 12, 13, 60, 100, 130, 1000])
def test_a_long_id_pushes_the_rest_and_breaks_no_word(length: int) -> None:
    """Two lines or more, every word whole, whatever the length of the id."""
    one = drum()._replace(id="X" * length)
    rows = writer.table_rows(one, 120)
    assert rows.startswith("X" * length + " ")
    words = rows.replace("→", "").split()
    expected = [
        "X" * length,
        "us",
        one.klass,
        one.basis,
        one.care,
        *one.because[0].says.split(),
        *f"[{one.because[0].cite}]".split(),
        *one.next[0].says.split(),
    ]
    assert words == expected


@given(ANY_TEXT)
@example("\x1b[2J\u009b2J\r\b")
@example("\u202eabc\u2066")
def test_a_table_never_moves_the_cursor(words: str) -> None:
    """Ids and plate words come from outside: no control character of theirs reaches the screen, and none that turns
    the direction of writing (Unicode Technical Report 36, https://www.unicode.org/reports/tr36/)."""
    rows = writer.table_rows(saying(f"Plate says {words}.")._replace(id=words), 120).replace("\n", "")
    assert [ascii(c) for c in rows if unicodedata.category(c) == "Cc" or c in TURNS] == []


def test_the_last_line_counts_units_cares_and_refusals() -> None:
    total = writer.table_total(Counter(ge500=2, lt2=1), 3)
    assert total.strip() == "3 units: care 2 at ge500, 1 at lt2; 3 refused."
    assert writer.table_total(Counter(lt2=1), 0).strip() == "1 unit: care 1 at lt2."
    assert writer.table_total(Counter(), 0).strip() == "0 units."

"""One writer: an assessment as one JSON line, one CSV row, or two lines of a table."""

import csv
import io
import textwrap
from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from hazmat.core.assess import Assessment
from hazmat.core.bulk import CARE as CARE_STEPS
from hazmat.core.findings import Shared

ROW_END = "\r\n"
"""The row end that makes a lone carriage return be quoted; rows are then ended by a line feed."""
CSV_COLUMNS = (
    "id", "rulebook", "edition", "on", "class", "basis", "force", "band", "care", "because", "cite", "next",
    "good_until",
)  # fmt: skip
ID, LAW, CLASS, BASIS, CARE = 12, 5, 14, 14, 9
"""Widths of the table's columns, in characters; a longer word pushes the rest to the right."""

COLUMNS, UNDER = ID + LAW + CLASS + BASIS + CARE, 4
ROOMY = 56
"""Least room for sentences beside the columns, in characters. Source: our own choice."""
LEGEND = (
    "class: what the law makes us treat it as. care: how cautious hands must be, in mg/kg of PCB: lt2 below 2, "
    "2_49 from 2 to below 50, 50_499 from 50 to below 500, ge500 from 500. →: what to do first."
)
NARROWEST = 40
"""Least room for a sentence, in characters."""

KEPT_PARTS = 50_000
"""How many encoded parts are kept at once. Source: our own choice."""

_encode = msgspec.json.Encoder(decimal_format="string").encode


KEYS = tuple({"klass": "class"}.get(name, name) for name in Assessment._fields)
"""Keys of an answer, in the order of the contract."""
BECAUSE = KEYS.index("because")


def as_dict(answer: Assessment) -> dict[str, Any]:
    """The answer with the keys of the contract, in their order."""
    return dict(zip(KEYS, answer, strict=True))


class JsonLines:
    """Answers as JSON lines; what answers have in common is encoded once and kept."""

    def __init__(self) -> None:
        self._heads: dict[tuple[Any, ...], bytes] = {}
        self._parts: dict[int, tuple[Shared, bytes]] = {}

    def line(self, answer: Assessment) -> bytes:
        """One line, with its line end: the keys of the contract, in their order."""
        head = answer[1:BECAUSE]
        known = self._heads.get(head)
        if known is None:
            known = self._heads[head] = b"," + _encode(dict(zip(KEYS[1:BECAUSE], head, strict=True)))[1:-1]
        parts = (
            b'{"id":', _encode(answer.id), known,
            b',"because":', self._part(answer.because), b',"next":', self._part(answer.next),
            b',"duties":', self._part(answer.duties),
            b',"problems":', _encode(answer.problems) if answer.problems else b"[]",
            b',"good_until":', _encode(answer.good_until) if answer.good_until else b"null", b"}\n",
        )  # fmt: skip
        return b"".join(parts)

    def _part(self, value: tuple[Any, ...]) -> bytes:
        """A part as JSON; one that is shared is kept by identity, together with the value, so that it stays that."""
        if type(value) is not Shared:
            return _encode(value)
        kept = self._parts.get(id(value))
        if kept is None:
            if len(self._parts) >= KEPT_PARTS:
                self._parts.clear()
            kept = self._parts[id(value)] = (value, _encode(tuple(value)))
        return kept[1]


def csv_header() -> str:
    return ",".join(CSV_COLUMNS) + "\n"


def csv_row(answer: Assessment) -> str:
    """First sentence and first next act; a text that a spreadsheet would take for a formula gets a quote before it."""
    first = answer.because[0]
    given = {**as_dict(answer), "because": first.says, "cite": first.cite, "next": answer.next[0].says}
    return csv_line(given[name] for name in CSV_COLUMNS)


def csv_line(cells: Iterable[Any]) -> str:
    """One row with its line end; None is an empty cell."""
    out = io.StringIO()
    csv.writer(out, lineterminator=ROW_END).writerow([_cell(cell) for cell in cells])
    return out.getvalue().removesuffix(ROW_END) + "\n"


def _cell(value: Any) -> str:
    text = "" if value is None else str(value)
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r", "\n") else text


def table_header(width: int) -> str:
    """What the columns are, and what the words of care mean. `width`: of the page, in characters."""
    names = f"{'unit':<{ID}}{'law':<{LAW}}{'class':<{CLASS}}{'basis':<{BASIS}}{'care':<{CARE}}"
    legend = textwrap.fill(LEGEND, max(width, NARROWEST))
    return f"{legend}\n\n{names}{'why, and what to do first' if _beside(width) else ''}".rstrip() + "\n"


def _beside(width: int) -> bool:
    """Whether there is room for sentences beside the columns; else they stand under them."""
    return width >= COLUMNS + ROOMY


def table_rows(answer: Assessment, width: int) -> str:
    """The unit with its first reason and that reason's document, under it the first act. `width`: in characters."""
    name = "".join([c if c.isprintable() else "?" for c in answer.id])
    words = (
        (name, ID),
        (answer.rulebook or "-", LAW),
        (answer.klass, CLASS),
        (answer.basis, BASIS),
        (answer.care, CARE),
    )
    head = "".join(f"{word:<{room - 1}} " for word, room in words)
    first = answer.because[0]
    why = f"{_plain(first.says)} [{_plain(first.cite)}]"
    act = "→ " + _plain(answer.next[0].says)
    indent = " " * (COLUMNS if _beside(width) else UNDER)
    page = max(width, len(indent) + NARROWEST)
    said = textwrap.wrap(why, page, initial_indent=indent, subsequent_indent=indent)
    then = textwrap.wrap(act, page, initial_indent=indent, subsequent_indent=indent + "  ")
    if _beside(width) and len(head) == COLUMNS:
        return "\n".join([head + said[0].lstrip(), *said[1:], *then, ""])
    return "\n".join([head.rstrip(), *said, *then, ""])


def _plain(text: str) -> str:
    """One line without anything that could turn or clear a terminal."""
    return " ".join("".join([c if c.isprintable() else " " for c in text]).split())


def table_total(cares: Mapping[str, int], refused: int) -> str:
    """The last line: how many units, how many at each care, how many lines were refused."""
    units = sum(cares.values())
    steps = ", ".join(f"{cares[step]} at {step}" for step in reversed(CARE_STEPS) if cares.get(step))
    bad = f"; {refused} refused" if refused else ""
    return f"\n{units} {'unit' if units == 1 else 'units'}{': care ' + steps if steps else ''}{bad}.\n"

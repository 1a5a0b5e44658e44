"""Which method a report names, and whether it is made for the liquid: held against the scopes that were read.

IEC 61619:1997 clause 1 (non-halogenated insulating liquids); EN 12766-1:2000 (not insulating liquids); ASTM D4059 as of
2018 (mineral oil and silicone; halogenated liquids interfere); SW-846 9079 (chlorine).
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.law import LawDay
from hazmat.core.methods import methods_in, scope_of

HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), date(2026, 11, 27))


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("IEC 61619", ["iec_61619"]), ("EN 61619:1997", ["iec_61619"]), ("iec61619 1997", ["iec_61619"]),
        ("EN 12766-2 method B", ["en_12766"]), ("ASTM D4059", ["astm_d4059"]), ("astm d 4059-00(2018)", ["astm_d4059"]),
        ("ASTM D-6160", ["astm_d6160"]), ("SW-846 8082A", ["sw_8082"]), ("EPA 600/4-81-045", ["epa_600"]),
        ("EPA 9079", ["chlorine"]), ("9077", ["chlorine"]), ("IEC 60997", ["iec_60997"]),
        ("", ["none"]), ("  ", ["none"]), ("GC-ECD, in house", ["unknown"]),
        ("161619", ["unknown"]), ("616190", ["unknown"]), ("80820", ["unknown"]), ("job 4059", ["unknown"]),
        ("IEC 61619 and EN 12766-1", ["iec_61619", "en_12766"]),
    ],
)  # fmt: skip
def test_a_method_is_known_by_its_number(words: str, found: list[str]) -> None:
    assert methods_in(words) == found


@pytest.mark.parametrize(
    ("words", "fluid", "answer", "says"),
    [
        ("IEC 61619", "mineral", "fits", ""), ("IEC 61619", "silicone", "fits", ""), ("IEC 61619", "ester", "fits", ""),
        ("IEC 61619", "askarel", "unfit", "not for askarel"), ("IEC 61619", None, "open", ""),
        ("EN 12766-1", "mineral", "unfit", "not for insulating liquids"), ("EN 12766-1", None, "open", ""),
        ("ASTM D4059", "mineral", "fits", ""), ("ASTM D4059", "silicone", "fits", ""),
        ("ASTM D4059", "askarel", "ask", "treated first"), ("ASTM D4059", "ester", "ask", "mineral oil and silicone"),
        ("8082A", "mineral", "fits", ""), ("8082A", "ester", "ask", "prepared this liquid"),
        ("9079", "mineral", "unfit", "counts chlorine and not PCB"), ("9079", None, "unfit", "is a screen"),
        ("", "mineral", "ask", "names no method"), ("own method", "mineral", "ask", "not known here"),
        ("IEC 60997", "mineral", "ask", "was not read"), ("IEC 61619, EN 12766", "mineral", "unfit", "used oils"),
    ],
)  # fmt: skip
def test_a_method_is_held_against_its_scope(words: str, fluid: str | None, answer: str, says: str) -> None:
    found = scope_of(words, fluid, HOUSE)
    assert found.answer == answer
    assert found.told == (answer not in ("fits", "open"))
    assert says in found.finding.says


@given(st.text(max_size=40), st.sampled_from(["mineral", "silicone", "ester", "askarel", "other", None]))
def test_any_words_are_answered(words: str, fluid: str | None) -> None:
    assert scope_of(words, fluid, HOUSE).finding.says.endswith(".")

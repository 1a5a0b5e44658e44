"""The words of an answer: whole sentences, true for that unit, that do not contradict what is decided."""

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.assess import Assessment
from hazmat.core.law import UNDETERMINED
from tests.core.strategies_core import LAWS, Line, ask, mild_units, units

EVERY_LAW = pytest.mark.parametrize("law", LAWS)
ANY_UNIT = st.one_of(units(), mild_units())
SLOT = re.compile(r"\{[a-z_]*\}")
FORBIDDEN = re.compile(r"PCB-free|\bcompliant\b|\bclean\b|\bis safe\b|\bsafe to\b|\bcertified\b", re.IGNORECASE)
FIRST_WORDS = {
    "plate": ("Plate says", "Said to hold"),
    "established": ("Lab says", "The maker's document", "The maker's own manual", "A substantially similar unit says"),
    UNDETERMINED: ("Undetermined",),
}
FORCE_WORDS = {"must": ("Treat as",), "may": ("It may be treated as",)}


def sentences(answer: Assessment) -> list[str]:
    return [
        *(finding.says for finding in answer.because),
        *(task.says for task in answer.next),
        *(owed.says for owed in answer.duties),
        *(problem.says for problem in answer.problems),
    ]


def slips(text: str) -> list[str]:
    """What is wrong with a sentence as a sentence."""
    return [
        name
        for name, wrong in (
            ("an unfilled slot", SLOT.search(text)),
            ("a double blank", "  " in text),
            ("blanks at an end", text != text.strip()),
            ("a line break or tab", not text.isprintable()),
            ("a Python word", re.search(r"\b(None|True|False|Decimal|NaN)\b|Span\(", text)),
            ("a doubled stop", re.search(r"[.,:;][.,:;]|\.\s*,", text)),
            ("a blank before a stop", re.search(r"\s[.,:;]", text)),
            ("no full stop at the end", not text.endswith(".")),
            ("no capital at the start", not (text[0].isupper() or text[0].isdigit() or text[0] in "“%")),
            ("a number written as a power", re.search(r"\d[Ee][+-]?\d", text)),
            ("a word that nobody may use", FORBIDDEN.search(text)),
        )
        if wrong
    ]


@EVERY_LAW
@given(line=ANY_UNIT)
def test_every_sentence_is_a_sentence(law: str, line: Line) -> None:
    for text in sentences(ask(line, law)):
        assert not slips(text), text


def strange(plain: str) -> st.SearchStrategy[str]:
    """Text as it may stand in a register: braces, quotes, line breaks, stops, a name of another script."""
    parts = [
        "{",
        "}",
        "{figure}",
        "{0}",
        "%s",
        '"',
        "“",
        "\n",
        "\t",
        "  ",
        ".",
        ":",
        ", ",
        "\u2028",
        "\u200b",
        "ß",
        "油",
    ]
    return st.lists(st.sampled_from(parts), max_size=4).map(lambda found: f"{plain}{''.join(found)}{plain}")


@EVERY_LAW
@given(
    plate=strange("PCB"), claim=strange("NON-PCB"), space=strange("bushing"), kind=st.sampled_from(["drum", "breaker"])
)
def test_text_of_a_register_never_breaks_a_sentence(law: str, plate: str, claim: str, space: str, kind: str) -> None:
    tests: list[Line] = [
        {"how": "laboratory", "value": 3, "unit": "mg/kg", "space": space},
        {"how": "laboratory", "value": 48, "unit": "mg/L", "space": space},
        {"how": "screen", "set_point": 50, "colour": "yellow", "space": space, "wet": True},
        {"how": "density", "sinks": False, "space": space},
    ]
    for words in ([plate], [claim]):
        answer = ask({"kind": kind, "plate_words": words, "tests": tests, "found_in": "CH"}, law)
        for text in sentences(answer):
            wrong = set(slips(text)) - {"an unfilled slot", "a doubled stop", "a blank before a stop"}
            assert not wrong, text
            assert not SLOT.search(text) or "{figure}" in "".join([*words, space]) or "{}" in text, text


@EVERY_LAW
@given(line=ANY_UNIT)
def test_the_first_reason_names_its_strength(law: str, line: Line) -> None:
    answer = ask(line, law)
    first = answer.because[0].says
    if answer.force in FORCE_WORDS:
        assert first.startswith(FORCE_WORDS[answer.force]), first
    elif answer.basis in FIRST_WORDS:
        assert first.startswith(FIRST_WORDS[answer.basis]), first


# ---------------------------------------------------------------------------------------------- true for this unit


@EVERY_LAW
@given(line=ANY_UNIT)
def test_no_reason_offers_a_lower_class_than_the_answer(law: str, line: Line) -> None:
    """A row that evidence of harm has overruled may be told, but not as if it still stood."""
    answer = ask(line, law)
    for finding in answer.because:
        if answer.klass not in ("below_50", "up_to_50"):
            assert not finding.says.startswith("It may be treated as below"), (answer.klass, finding.says)
        if answer.klass != UNDETERMINED:
            assert not finding.says.startswith("Undetermined"), (answer.klass, finding.says)


@EVERY_LAW
@given(line=ANY_UNIT)
def test_reasons_say_nothing_untrue_about_the_line(law: str, line: Line) -> None:
    answer = ask(line, law)
    for finding in answer.because:
        for untrue in untruths(finding.says, line, answer):
            raise AssertionError(f"{untrue}: {finding.says}")


def untruths(says: str, line: Line, answer: Assessment) -> list[str]:
    """Claims of a sentence that the line itself denies."""
    tests, history = line.get("tests", []), line.get("history", [])
    hows = {test["how"] for test in tests}
    refilled = bool(history) and "refilled" not in says
    late = isinstance(line.get("built"), int) and line["built"] > 1995 and not line.get("spaces")
    keys = {finding.key for finding in answer.because}
    claims: list[tuple[str, Any]] = [
        ("there is a test", ": no test" in says and tests),
        ("it was built late and refilled", "or earlier, or of unknown age" in says and late and refilled),
        ("no laboratory decides", "the laboratory figure decides" in says and not keys & {"lab_establishes"}),
        ("the figure has its basis", "without a lawful basis" in says and not keys & {"no_basis"}),
        ("no laboratory figure counts", "laboratory figure that counts" in says and "laboratory" not in hows),
        ("the fluid is known", "nobody knows the fluid" in says and line.get("fluid") and not line.get("spaces")),
        ("it has nothing in series", "Two screens of one sample" in says and "screen" not in hows),
    ]
    return [name for name, wrong in claims if wrong]


@pytest.mark.parametrize("law", ["us", "nz"])
def test_what_is_lifted_says_what_it_is_to_be_treated_as(law: str) -> None:
    """A yellow screen on a late unit: the sentence must say what follows, not only what was seen."""
    line = {"kind": "transformer", "built": 2005, "fluid": "mineral", "found_in": "CH"}
    answer = ask({**line, "tests": [{"how": "screen", "set_point": 500, "colour": "yellow"}]}, law)
    assert answer.force == "care"
    assert "treat" in answer.because[0].says.lower(), answer.because[0].says


@pytest.mark.parametrize("law", ["us", "nz"])
def test_a_settled_class_is_not_told_to_wait_until_it_is_settled(law: str) -> None:
    line = {"kind": "transformer", "built": 1960, "fluid": "mineral", "found_in": "CH", "role": "holder"}
    answer = ask({**line, "tests": [{"how": "laboratory", "value": 700, "unit": "mg/kg"}]}, law)
    assert answer.basis == "established"
    assert not any("until its class is settled" in task.says for task in answer.next)


# ---------------------------------------------------------------------------------------------- figures in words


@pytest.mark.parametrize(
    ("value", "density", "line", "klass"),
    [("43.98", "0.88", "50", "below_50"), ("439.98", "0.88", "500", "50_to_499")],
)
def test_a_rounded_figure_never_crosses_the_line_that_it_is_judged_by(
    value: str, density: str, line: str, klass: str
) -> None:
    """43.98 / 0.88 is 49.977: below the line, so the sentence may not say 50 mg/kg."""
    test = {"how": "laboratory", "value": value, "unit": "mg/L", "density_kg_l": density}
    test["uncertainty"] = {"value": "0.001", "kind": "absolute", "k": 2}
    answer = ask({"kind": "transformer", "fluid": "mineral", "found_in": "CH", "tests": [test]}, "us")
    assert answer.klass == klass
    assert not any(
        re.search(rf"(?<![\d.]){line} mg/kg", finding.says) for finding in answer.because if "lab" in finding.key
    )


def test_an_uncertainty_stands_beside_the_unit_that_it_was_reported_in() -> None:
    """4 mg/L at 0.88 kg/L is 4.5 mg/kg: `45.5 mg/kg ± 4` would say too little."""
    test: Line = {"how": "laboratory", "value": 40, "unit": "mg/L", "density_kg_l": "0.88"}
    test["uncertainty"] = {"value": 4, "kind": "absolute", "k": 2}
    answer = ask({"kind": "transformer", "fluid": "mineral", "found_in": "CH", "tests": [test]}, "us")
    says = answer.because[0].says
    assert "mg/kg ± 4 " not in says, says
    assert "± 4" in says, says


def test_a_screen_names_its_unit() -> None:
    test = {"how": "screen", "set_point": 50, "colour": "yellow"}
    answer = ask({"kind": "transformer", "fluid": "mineral", "found_in": "CH", "tests": [test]}, "us")
    (says,) = [finding.says for finding in answer.because if finding.key == "screen_above"]
    assert re.search(r"above 50 (mg/kg|ppm)", says), says

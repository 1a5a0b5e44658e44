"""*Look* with anything at all in its boxes, and there and back between a unit on record and its form."""

import json
from collections import Counter
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, get_args

import pytest
import time_machine
from django.utils.datastructures import MultiValueDict
from hypothesis import event, given, settings
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.asks import kinds_for
from hazmat.core.facts import Kind
from hazmat.core.lookin import LookIn
from hazmat.core.unitnow import ProvedDead, UnitNow
from hazmat.edge.lines import Assessor
from hazmat.edge.reader import Refused
from hazmat.forms import look_line, look_steps, look_words
from hazmat.forms.fields import DayBox, Number, Pick, Pictures, PlaceBox, Ticks, Whole, Words, YearBox
from hazmat.forms.look import LookForm
from tests.edge.strategies import KINDS, units
from tests.hazmat.looks import EMPTY, HERE, NOW, PLATE_PLAIN, TODAY, form, is_sentence, look, read

NUMBERS = ("fluid_volume_l", "fluid_mass_kg", "gross_mass_kg", "voltage_v", "body_cm3")


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(NOW, tick=False):
        yield


# ------------------------------------------------------------------ pictures, questions


def test_every_fact_has_a_question() -> None:
    """Every key of a line but the tests, which come later."""
    asked = {fact for ask in look_steps.ASKS for fact in ask.facts}
    assert asked == set(look_line.ORDER) - {"tests"}
    assert "dead" in look_steps.ORDER


@pytest.mark.parametrize("fact", ["site", "in_use_before"])
def test_what_one_law_alone_asks_is_on_the_page_where_that_law_stands(fact: str) -> None:
    """No book of New Zealand or the handling of it reads these; a page shows no idle question, and loses no answer."""
    (ask,) = [one for one in look_steps.ASKS if one.facts == (fact,)]
    asking = [name for name in rulebooks.laws() if kinds_for([fact], [rulebooks.rulebook(name)])]
    for name in rulebooks.laws():
        for place in rulebooks.rulebook(name).found_in[:1]:
            there = LookForm(here={**HERE, "country": place.lower()})
            assert ask.stands(there) == (name in asking), (name, place)
    assert not ask.stands(EMPTY)
    answered = {"site": "sensitive", "in_use_before": "2001-01-01"}
    assert ask.stands(LookForm(here=HERE, initial={fact: answered[fact]}))
    assert read(look(**answered)).site == "sensitive"


def test_every_box_is_on_the_page_once() -> None:
    assert sorted(look_steps.ORDER) == sorted(EMPTY.fields)
    assert len(set(look_steps.ORDER)) == len(look_steps.ORDER)


# ------------------------------------------------------------------ anything at all

SHOWN = {word for word, _ in look_words.KIND}
UNTOLD = {"act", "kept", "tag", "looked_at", *(name for name in EMPTY.fields if name.startswith("pictures"))}
WORDS = st.one_of(
    st.sampled_from(
        ["", " ", "unknown", "yes", "on", "1968", "1970/1985", "~1975", "12.5", "1,234", "2026-11-25", "2027-01-01",
         "0", "-1", "\x00", "\ud800", "\u202e", "a\r\nb", "é", "x" * 5000, "9" * 40, "2026-11-25T10:00", "NaN"]
    ),
    st.text(max_size=20),
)  # fmt: skip


def fitting(name: str) -> st.SearchStrategy[Any]:
    """What fits a box."""
    field = EMPTY.fields[name]
    if isinstance(field, Pick | Ticks):
        fits: st.SearchStrategy[Any] = st.sampled_from([word for word, _ in field.choices])
    elif isinstance(field, Number):
        fits = st.decimals(0, 5000, places=2).map(str) if name != "density_kg_l" else st.sampled_from(["0.88", "1.56"])
    elif isinstance(field, YearBox):
        fits = st.integers(1900, 2026).map(str)
    elif isinstance(field, DayBox):
        fits = st.dates(date(1960, 1, 1), TODAY).map(date.isoformat)
    elif isinstance(field, PlaceBox):
        fits = st.sampled_from(["NZ", "US", "GB"])
    elif isinstance(field, Whole):
        fits = st.integers(1, 500).map(str)
    elif isinstance(field, Words):
        fits = PLATE_PLAIN
    else:
        fits = st.sampled_from(["on", ""])
    return fits


@st.composite
def whole_posts(draw: st.DrawFn) -> MultiValueDict[str, Any]:
    """Answers that go together, so that most are taken."""
    names = draw(st.lists(st.sampled_from(sorted(set(EMPTY.fields) - UNTOLD)), unique=True, max_size=40))
    data = MultiValueDict({name: [draw(fitting(name))] for name in names})
    data.setlist("kind", [draw(st.sampled_from(sorted(SHOWN)))])
    if "marks" in data:
        data.setlist("marks", draw(st.lists(fitting("marks"), max_size=3)))
    for box in ("built", "last"):
        first, how = draw(st.integers(1900, 1980)), draw(st.sampled_from(["in", "before", "after", "about", "between"]))
        second = str(first + draw(st.integers(0, 40))) if how == "between" else ""
        told = (how, str(first), second) if f"{box}_1" in data else ("unknown", "", "")
        data.update(dict(zip((f"{box}_how", f"{box}_1", f"{box}_2"), told, strict=True)))
    for row in range(1, look_line.SPACES + 1):
        data.setdefault(f"space_{row}", "")
        data[f"space_{row}"] = f"space {row}" if any(f"space_{row}_" in name for name in names) else ""
    if data.get("dead") == "yes":
        data.update({"proved_by": "Mere Example", "how": "detector"})
    return data


def answers(name: str) -> st.SearchStrategy[Any]:
    """What may come for a box: often something that fits, at times anything."""
    return st.one_of(fitting(name), fitting(name), fitting(name), WORDS)


@st.composite
def posts(draw: st.DrawFn) -> MultiValueDict[str, Any]:
    names = draw(st.lists(st.sampled_from(sorted(EMPTY.fields)), unique=True, max_size=25))
    data = MultiValueDict({"kind": [draw(st.sampled_from(KINDS))]})
    for name in names:
        if name not in UNTOLD:
            data.setlist(name, draw(st.lists(answers(name), min_size=1, max_size=2 if name == "marks" else 1)))
    if draw(st.booleans()):
        data.setlist(draw(st.sampled_from([*EMPTY.fields, "what", "based_on"])), draw(st.lists(WORDS, max_size=3)))
    return data


@given(posts())
def test_whatever_comes_is_read_or_refused_in_sentences(data: MultiValueDict[str, Any]) -> None:
    with time_machine.travel(NOW, tick=False):
        made = LookForm(data, here=HERE)
        if made.is_valid():
            read(made.look())
            return
        assert made.errors
        for says in (says for several in made.errors.values() for says in several):
            is_sentence(says)


@given(whole_posts())
def test_what_the_form_takes_is_judged(data: MultiValueDict[str, Any]) -> None:
    with time_machine.travel(NOW, tick=False):
        made = LookForm(data, here=HERE)
        if made.is_valid():
            raw = json.dumps({"id": "A1", **made.look().line}).encode()
            (answer,) = Assessor(None, TODAY, TODAY).answers([raw])
            assert not isinstance(answer, Refused)


# ------------------------------------------------------------------ there and back


def now_of(made: LookIn, look_id: str = "0193-look") -> UnitNow:
    """A unit on record after this look."""
    proved = None
    if made.proved:
        told = {key: word for key, word in made.proved.items() if key != "proved_by"}
        proved = ProvedDead(**{"record": "r", "how": "", "happened_at": "2026-11-25", **told})
    unit = UnitNow(
        unit="u", yard="y", tag="K7M4PX", arrival=made.arrival, logged_at="2026-11-25", look=look_id,
        line={key: str(value) if key == "count" else value for key, value in made.line.items()}, sources=made.sources,
        leak=made.leak, note=made.note, proved=proved, answer={}, assessed_at="", seq="1", happened_at="",
        claims=made.claims,
    )  # fmt: skip
    object.__setattr__(unit, "seen", made.seen)
    return unit


def sent_back(filled: LookForm, look_id: str = "0193-look") -> LookForm:
    """The form as a browser sends it when nothing is changed."""
    data = MultiValueDict({"based_on": [look_id]})
    for name, field in filled.fields.items():
        value = filled[name].value()
        if value is True:
            value = "on"
        if value not in (None, False) and not isinstance(field, Pictures):
            data.setlist(name, list(value) if isinstance(field, Ticks) else [str(value)])
    return LookForm(data, here=HERE)


def again(made: LookIn) -> LookIn:
    aside = {**made.aside, "proved_by": (made.proved or {}).get("proved_by", "")}
    form = sent_back(LookForm.from_unit(now_of(made), aside, here=HERE))
    assert form.errors == {}, form.errors
    return form.look()


@given(whole_posts())
def test_there_and_back_nothing_changes(data: MultiValueDict[str, Any]) -> None:
    with time_machine.travel(NOW, tick=False):
        form = LookForm(data, here=HERE)
        event(f"valid: {form.is_valid()}")
        if form.is_valid():
            made = replace(form.look(), happened_at=None, tag="")
            assert again(made) == made


@given(units())
@settings(max_examples=150)
def test_a_line_of_a_register_survives_a_correction(told: dict[str, Any]) -> None:
    """Whatever a register says of a unit means the same after the form was opened and sent; tests are kept, too."""
    with time_machine.travel(NOW, tick=False):
        line = {key: value for key, value in told.items() if key != "id" and value is not None}
        line = json.loads(json.dumps(line), parse_float=lambda text: format(Decimal(text), "f"))
        before = read(LookIn(arrival="gate", line=line, sources={}, leak="unknown"))
        on_record = now_of(LookIn(arrival="gate", line=line, sources={}, leak="unknown"))
        form = sent_back(LookForm.from_unit(on_record, {}, here=HERE))
        if not form.is_valid():
            assert set(form.errors) <= {"plate_words", "count", *NUMBERS, *(f"space_{n}" for n in range(1, 5))}
            return
        after = read(form.look())
        for key in set(look_line.ORDER) - {"found_in", "marks", "history", "plate_words", "spaces"}:
            assert getattr(after, key) == getattr(before, key), key
        assert set(after.marks) == set(before.marks)
        assert Counter(after.history) == Counter(before.history)
        assert len(after.spaces) == len(before.spaces)


def test_what_the_form_does_not_show_cannot_be_forged_or_lent() -> None:
    tests = [{"how": "laboratory", "value": "3", "unit": "mg/kg", "on": "2026-01-01"}]
    line = {"kind": "transformer", "found_in": "NZ", "tests": tests}
    filled = LookForm.from_unit(now_of(LookIn(arrival="gate", line=line, sources={}, leak="none")), {}, here=HERE)
    assert sent_back(filled).look().line["tests"] == tests
    assert "another unit" in sent_back(filled, "0193-other").non_field_errors()[0]
    sealed = filled["kept"].value()
    assert "lost a part" in form(kept=f"{sealed[:-1]}{'a' if sealed[-1] != 'a' else 'b'}").non_field_errors()[0]
    assert "tests" not in look().line


def test_words_of_ours_are_all_known() -> None:
    """What stands in claims, seen and aside comes back into its own box."""
    made = look(
        seller_knows="told", seller_drained="no", seller_label="yes", seller_words="w", plate="missing", leak="pool",
        leak_at="below", consent="refused", owner="Mere Example", note="n\nm", dead="no", permit="7",
    )  # fmt: skip
    assert again(made) == made


def test_kinds_of_the_line_are_those_of_the_form() -> None:
    assert set(KINDS) == set(get_args(Kind))

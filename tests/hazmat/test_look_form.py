"""The form of *Look*: each question on both sides, what is kept, what is refused and in which words."""

import json
from typing import Any

import pytest
import time_machine

from hazmat.core.codes import new_tag
from hazmat.forms.fields import Pick, Words
from hazmat.forms.look import LookForm
from tests.edge.strategies import KINDS
from tests.hazmat.looks import EMPTY, HERE, NOW, form, is_sentence, look, read, refused


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(NOW, tick=False):
        yield


# ------------------------------------------------------------------ the shortest look


@pytest.mark.parametrize("kind", KINDS)
def test_the_kind_alone_is_a_whole_answer(kind: str) -> None:
    made = look(kind=kind)
    assert made.line == {"kind": kind, "found_in": "NZ"}
    assert (made.sources, made.leak, made.claims, made.seen, made.aside, made.proved) == (
        {},
        "unknown",
        {},
        {},
        {},
        None,
    )
    assert (made.arrival, made.tag, made.happened_at, made.note) == ("gate", "", None, "")
    assert read(made).kind == kind


@pytest.mark.parametrize("kind", [None, "", "toaster"])
def test_without_a_kind_it_says_what_to_do(kind: str | None) -> None:
    made = form(kind)
    assert list(made.errors) == ["kind"]
    is_sentence(made.errors["kind"][0])


def test_every_kind_can_be_picked() -> None:
    offered = {word for word, _ in EMPTY.fields["kind"].choices}  # type: ignore[attr-defined]
    assert {look(kind=word).line["kind"] for word in offered} == set(KINDS)


@pytest.mark.parametrize("box", sorted(EMPTY.fields))
def test_each_box_may_stay_empty_or_be_missing(box: str) -> None:
    if box != "kind":
        assert look(**{box: ""}) == look()


@pytest.mark.parametrize("box", [n for n, field in EMPTY.fields.items() if isinstance(field, Pick) and n != "kind"])
def test_each_choice_has_a_do_not_know_that_stands_there_from_the_start(box: str) -> None:
    field = EMPTY.fields[box]
    assert isinstance(field, Pick)
    offered = [word for word, _ in field.choices]
    assert field.initial in offered
    assert field.initial in ("unknown", "unasked", "", "gate")
    assert "none of the answers" in refused(box, **{box: "no such word"})


# ------------------------------------------------------------------ kinds, leak, state


@pytest.mark.parametrize(("picture", "mounting"), [("pole_unit", "pole"), ("pad_unit", "pad")])
def test_a_picture_says_kind_and_mounting(picture: str, mounting: str) -> None:
    assert look(kind=picture).line | {"found_in": "NZ"} == {
        "kind": "transformer", "mounting": mounting, "found_in": "NZ",
    }  # fmt: skip
    assert look(kind=picture, mounting="ground").line["mounting"] == "ground"


LEAKS = {"none": None, "sweating": "leaking", "dripping": "leaking", "pool": "leaking", "unknown": None}


@pytest.mark.parametrize(("leak", "state"), LEAKS.items())
def test_a_leak_is_leaking(leak: str, state: str | None) -> None:
    made = look(leak=leak)
    assert made.leak == leak
    assert made.line.get("state") == state
    assert made.sources == ({"state": "seen"} if state else {})


@pytest.mark.parametrize("state", ["intact", "drained", "in_use", "removed", "leaking"])
@pytest.mark.parametrize("leak", LEAKS)
def test_a_leak_wins_over_every_other_state(leak: str, state: str) -> None:
    made = look(leak=leak, state=state, src_state="said")
    assert made.line["state"] == (LEAKS[leak] or state)
    assert made.sources["state"] == ("said" if made.line["state"] == state else "seen")
    emptied = leak in ("sweating", "dripping", "pool") and state == "drained"
    assert made.line.get("history") == ([{"what": "drained"}] if emptied else None)


def test_drained_by_the_seller_is_a_claim() -> None:
    made = look(seller_knows="told", seller_drained="yes", seller_label="no", seller_words="all empty")
    assert made.claims == {"seller": "told", "drained": "yes", "label": "no", "words": "all empty"}
    assert "state" not in made.line
    assert look(seller_knows="knows_nothing").claims == {"seller": "knows_nothing"}


# ------------------------------------------------------------------ where, whose


def test_names_stand_apart() -> None:
    private = {
        "where": "by the creek", "owner": "Mere Example", "owner_phone": "+64 0 000 0000", "access": "gate 3",
        "seller": "Tom Example", "seller_phone": "+64 0 000 0001",
    }  # fmt: skip
    made = look(arrival="found", consent="asked", **private)
    assert made.aside == {**private, "consent": "asked"}
    assert made.arrival == "found"
    told = json.dumps([made.line, made.sources, made.claims, made.seen, made.note])
    assert not [word for word in private.values() if word in told]


@pytest.mark.parametrize(
    ("country", "part", "found_in"),
    [("", "", "NZ"), ("US", "or", "US-OR"), ("AU", "VIC", "AU-VIC"), ("GB", "", "GB"), ("nz", "", "NZ")],
)
def test_where_it_was_found(country: str, part: str, found_in: str) -> None:
    assert look(country=country, part=part).line["found_in"] == found_in


def test_the_yard_says_where_it_is() -> None:
    oregon = {**HERE, "country": "us", "state": "US-OR"}
    assert form(here=oregon).look().line["found_in"] == "US-OR"
    empty = LookForm(here=oregon)
    assert (empty["country"].value(), empty["part"].value()) == ("US", "OR")


def test_where_it_was_not_found() -> None:
    assert "two letters" in refused("country", country="UK")
    assert "one to three letters" in refused("part", country="US", part="é")
    assert "characters long" in refused("part", part="OREGON")
    assert "two letters" in refused("made_in", made_in="XX")
    assert look(made_in="gb").line["made_in"] == "GB"


def test_a_state_that_the_law_does_not_know_is_named_with_those_that_it_knows() -> None:
    says = refused("part", country="GB", part="LON")
    assert "no such state is known" in says
    assert "GB-SCT (Scotland)" in says
    assert look(country="GB", part="SCT").line["found_in"] == "GB-SCT"
    assert look(country="IE", part="D").line["found_in"] == "IE-D"


# ------------------------------------------------------------------ numbers

NUMBERS = ("fluid_volume_l", "fluid_mass_kg", "gross_mass_kg", "voltage_v", "body_cm3")


@pytest.mark.parametrize("box", NUMBERS)
@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("75", "75"), (" 12.5 ", "12.5"), ("12,5", "12.5"), ("0,875", "0.875"), ("0.875", "0.875"), ("12.50", "12.5"),
        ("0", "0"), ("11000", "11000"), ("11 000", "11000"), ("1 234,5", "1234.5"), ("1\u202f234", "1234"),
        ("1234,567", "1234.567"), ("1.2340", "1.234"), ("007", "7"),
    ],
)  # fmt: skip
def test_a_number_is_read(box: str, typed: str, value: str) -> None:
    made = look(**{box: typed})
    assert made.line[box] == value
    read(made)


@pytest.mark.parametrize("box", NUMBERS)
@pytest.mark.parametrize("typed", ["1,234", "1.234", "1.234,5", "1,234.5", "1,234,567", "11.000", "999,999"])
def test_a_number_that_can_be_read_in_two_ways_is_not_read(box: str, typed: str) -> None:
    assert "two ways" in refused(box, **{box: typed})


@pytest.mark.parametrize("box", [*NUMBERS, "density_kg_l"])
@pytest.mark.parametrize(
    "typed",
    ["-1", "1e3", "1_000", "NaN", "Infinity", "75 L", "about 3", "٣", "１２", "1.", ".5", "+5", "12 34", "1/2", ","],
)
def test_what_is_no_number_is_refused(box: str, typed: str) -> None:
    assert "no plain number" in refused(box, **{box: typed})


def test_too_much_is_refused() -> None:
    assert "So many L" in refused("fluid_volume_l", fluid_volume_l="9" * 13)
    assert look(fluid_volume_l=str(10**12)).line["fluid_volume_l"] == str(10**12)


@pytest.mark.parametrize("typed", ["0.6", "0.88", "0,88", "1.234", "1,560", "2.0"])
def test_a_density_is_read(typed: str) -> None:
    made = look(density_kg_l=typed)
    assert float(made.line["density_kg_l"]) == float(typed.replace(",", "."))


@pytest.mark.parametrize("typed", ["880", "0.59", "2.01", "0"])
def test_a_density_in_another_unit_is_refused(typed: str) -> None:
    assert "between 0.6 and 2.0" in refused("density_kg_l", density_kg_l=typed)


@pytest.mark.parametrize(("typed", "value"), [("", None), ("1", None), ("2", 2), ("40", 40), ("999999", 999999)])
def test_a_lot(typed: str, value: int | None) -> None:
    made = look(count=typed)
    assert made.line.get("count") == value
    assert read(made).count == (value or 1)


@pytest.mark.parametrize("typed", ["0", "-2", "1.5", "many", "1000000", "1 000"])
def test_what_is_no_lot(typed: str) -> None:
    assert "whole number from 1" in refused("count", count=typed)


# ------------------------------------------------------------------ years and days

SPANS = {
    ("in", "1968", ""): "1968",
    ("in", "1968-05", ""): "1968-05",
    ("in", "1968-05-01", ""): "1968-05-01",
    ("between", "1970", "1985"): "1970/1985",
    ("before", "1985", ""): "/1985",
    ("after", "1970", ""): "1970/",
    ("about", "1975", ""): "~1975",
    ("unknown", "", ""): None,
}


@pytest.mark.parametrize(("key", "box"), [("built", "built"), ("last_energised", "last")])
@pytest.mark.parametrize(("told", "span"), SPANS.items())
def test_a_span_of_years(told: tuple[str, str, str], span: str | None, key: str, box: str) -> None:
    made = look(**dict(zip((f"{box}_how", f"{box}_1", f"{box}_2"), told, strict=True)))
    assert made.line.get(key) == span
    read(made)


@pytest.mark.parametrize(
    ("how", "first", "second", "at", "says"),
    [
        ("in", "", "", "built_1", "Write the year"),
        ("in", "68", "", "built_1", "all four digits"),
        ("in", "1968-13", "", "built_1", "no year"),
        ("in", "May 1968", "", "built_1", "no year"),
        ("in", "1970/1985", "", "built_1", "no year"),
        ("about", "~1970", "", "built_1", "no year"),
        ("in", "2027", "", "built_1", "not come yet"),
        ("after", "2026-11-26", "", "built_1", "not come yet"),
        ("between", "1970", "", "built_2", "both years"),
        ("between", "", "1970", "built_1", "both years"),
        ("between", "1985", "1970", "built_2", "ends before it begins"),
        ("in", "1970", "1985", "built_2", "belongs to"),
        ("unknown", "1970", "", "built_how", "how it is meant"),
    ],
)
def test_what_is_no_span(how: str, first: str, second: str, at: str, says: str) -> None:
    assert says in refused(at, built_how=how, built_1=first, built_2=second)


@pytest.mark.parametrize("box", ["decided_waste", "arrived"])
def test_a_day(box: str) -> None:
    assert look(**{box: "2026-11-25"}).line[box] == "2026-11-25"
    assert "not come yet" in refused(box, **{box: "2026-11-26"})
    for typed in ("25.11.2026", "2026-02-30", "yesterday", "0000-01-01", "２０２６-01-01"):
        assert "no day of the calendar" in refused(box, **{box: typed})


def test_today_is_that_of_the_yard() -> None:
    """At one o'clock of the 25th in Greenwich it is the 24th in Oregon."""
    oregon = {**HERE, "country": "us", "state": "US-OR", "zone": "America/Los_Angeles"}
    assert form(here=oregon, arrived="2026-11-24").is_valid()
    assert not form(here=oregon, arrived="2026-11-25").is_valid()


def test_only_a_day_that_was_granted_may_lie_ahead() -> None:
    """An extension under SOR/2008-273 s.17.1 ends in years to come; a day of arrival does not."""
    assert look(use_extended_until="2029-12-31").line["use_extended_until"] == "2029-12-31"
    assert "no day of the calendar" in refused("use_extended_until", use_extended_until="2029-02-29")
    assert "may stand there" in refused("use_extended_until", use_extended_until="2101-01-01")
    assert "not come yet" in refused("arrived", arrived="2029-12-31")


def test_in_use_before_it_was_built() -> None:
    told = {"built_how": "in", "built_1": "1980", "last_how": "in", "last_1": "1979"}
    assert "before it was built" in refused("last_1", **told)
    assert look(**{**told, "last_1": "1980"}).line["last_energised"] == "1980"


def test_when_somebody_looked() -> None:
    told = look(looked_at="2026-11-25T14:00").happened_at
    assert told == NOW
    assert "in the future" in refused("looked_at", looked_at="2026-11-25T14:01")
    assert "no day and time" in refused("looked_at", looked_at="25 Nov")
    assert "no day and time" in refused("looked_at", looked_at="2026-02-30T10:00")
    assert "the year once more" in refused("looked_at", looked_at="0026-11-25T14:00")


# ------------------------------------------------------------------ plate, oil, spaces


def test_words_of_the_plate() -> None:
    made = look(plate="partly", plate_words="  25 KVA \r\n\r\nOIL\t75 L\n", leak_at="drain valve")
    assert made.line["plate_words"] == ["25 KVA", "OIL 75 L"]
    assert made.seen == {"plate": "partly", "leak_at": "drain valve"}
    assert "41 lines" in refused("plate_words", plate_words="\n".join(["x"] * 41))
    assert "200 characters" in refused("plate_words", plate_words="x" * 201)
    assert look(plate_words="\n".join(["x" * 200] * 39)).line["plate_words"] == ["x" * 200] * 39


@pytest.mark.parametrize("box", [n for n, field in EMPTY.fields.items() if type(field) is Words and n != "tag"])
def test_what_cannot_be_printed_is_refused(box: str) -> None:
    for char in ("\x00", "\x1b", "\x7f", "\ud800", "\u202e", "\u2066"):
        assert "cannot be seen or printed" in refused(box, **{box: f"a{char}b"})


@pytest.mark.parametrize("box", [n for n, field in EMPTY.fields.items() if type(field) is Words and n != "tag"])
def test_words_have_a_bound_and_what_was_typed_is_kept(box: str) -> None:
    most = EMPTY.fields[box].most  # type: ignore[attr-defined]
    if box != "part":
        look(**{box: "x" * most})
    assert "fit; shorten it" in refused(box, **{box: "x" * (most + 1)})


def test_marks() -> None:
    both = ["maker_no_pcbs", "pcb_mark"]
    assert look(marks=both[::-1]).line["marks"] == both
    assert "none of the answers" in refused("marks", marks=["pcb_mark", "x"])


def test_what_was_done_to_the_oil() -> None:
    made = look(refilled="on", topped_up_on="~1985", retrofilled_mg="2,5", drained="on", drained_on="1999-05")
    assert made.line["history"] == [
        {"what": "refilled"}, {"what": "topped_up", "on": "~1985"}, {"what": "retrofilled", "fluid_mg_kg": "2.5"},
        {"what": "drained", "on": "1999-05"},
    ]  # fmt: skip
    read(made)
    assert "no year" in refused("refilled_on", refilled_on="long ago")
    assert "ends before" in refused("refilled_on", refilled_on="1990/1980")
    assert "two ways" in refused("refilled_mg", refilled_mg="1,234")


def test_oil_spaces() -> None:
    made = look(space_1="tap changer", space_1_kind="switch", space_2="cable box", space_2_sealed="no", space_4="x")
    assert made.line["spaces"] == [
        {"name": "tap changer", "kind": "switch"}, {"name": "cable box", "sealed": False}, {"name": "x"},
    ]  # fmt: skip
    read(made)
    assert "Name this oil space" in refused("space_3", space_3_sealed="yes")
    assert "no other space" in refused("space_3", space_1="a", space_3="a")


CHOICES = {
    "mounting": ("pole", "pad", "ground", "indoor"),
    "construction": ("conservator", "sealed"),
    "fluid": ("mineral", "askarel", "silicone", "ester", "other"),
    "role": ("holder", "generator", "collector", "carrier", "receiver"),
    "service_records": ("all", "some", "none"),
    "state": ("intact", "leaking", "drained", "in_use", "removed"),
}


@pytest.mark.parametrize(("key", "word"), [(key, word) for key, words in CHOICES.items() for word in words])
def test_a_choice_is_a_word_of_the_line(key: str, word: str) -> None:
    made = look(**{key: word, f"src_{key}": "guessed"})
    assert made.line[key] == word
    assert made.sources == ({} if key == "role" else {key: "guessed"})
    assert getattr(read(made), key) == word
    assert key not in look(**{key: "unknown", f"src_{key}": "guessed"}).line


def test_who_says_so_needs_a_fact() -> None:
    assert look(src_built="guessed", built_how="in", built_1="1972").sources == {"built": "guessed"}
    assert look(src_built="guessed").sources == {}


# ------------------------------------------------------------------ proved dead, tag


def test_proved_dead() -> None:
    told = {"dead": "yes", "proved_by": "Mere Example", "how": "detector", "earthed": "yes", "back_feed": "no"}
    assert look(**told, permit="P-1").proved == {
        "dead": "yes", "proved_by": "Mere Example", "how": "detector", "permit": "P-1", "earthed": True,
        "back_feed": False,
    }  # fmt: skip
    assert "it is a claim" in refused("proved_by", dead="yes", how="detector")
    assert "it is a claim" in refused("how", dead="yes", proved_by="Mere Example")
    assert look(dead="no").proved == {"dead": "no"}
    assert look(earthed="yes").proved == {"dead": "unknown", "earthed": True}
    assert look(dead="unknown").proved is None


def test_a_printed_tag() -> None:
    tag = new_tag(4711)
    assert look(tag=f"{tag[:3].lower()} {tag[3:]}").tag == tag
    other = "2" if tag[0] != "2" else "3"
    assert "wrong or missing" in refused("tag", tag=other + tag[1:])
    assert "never holds O" in refused("tag", tag="O" + tag[1:])

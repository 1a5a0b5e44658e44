"""An oil space taken off its unit: hands never take it with less care than before, and what stays loses nothing else.

House rule of care: evidence of harm goes with the part; a result of other oil says nothing of it.
"""

from datetime import date
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from hazmat.core.bulk import CARE
from hazmat.core.care import as_care, rank
from hazmat.core.removing import part_line, part_sources, rest_line, space_of
from hazmat.edge.one import assessor, read_unit

ON = date(2026, 11, 27)
UNIT: dict[str, Any] = {
    "kind": "transformer", "mounting": "pole", "fluid": "mineral", "fluid_volume_l": "75", "gross_mass_kg": "260",
    "built": "1968", "found_in": "US-OR", "role": "receiver", "decided_waste": "2026-02-01", "arrived": "2026-02-03",
    "last_energised": "2025-12", "plate_words": ["25 KVA"], "history": [{"what": "topped_up", "on": "1985"}],
    "service_records": "some", "state": "intact",
    "spaces": [{"name": "bushing 1", "kind": "bushing", "built": "1990", "sealed": True}, {"name": "conservator"}],
}  # fmt: skip


def lab(space: str, value: str = "12") -> dict[str, Any]:
    return {"how": "laboratory", "on": "2026-03-01", "space": space, "value": value, "unit": "mg/kg"}


def test_a_part_of_another_kind_keeps_days_and_past_and_nothing_of_the_fluid() -> None:
    part = part_line(UNIT, "bushing 1", [lab("tank"), lab("bushing 1", "620")])
    assert part == {
        "kind": "bushing", "built": "1990", "found_in": "US-OR", "role": "receiver", "decided_waste": "2026-02-01",
        "arrived": "2026-02-03", "last_energised": "2025-12", "plate_words": ["25 KVA"],
        "history": [{"what": "topped_up", "on": "1985"}], "service_records": "some", "state": "removed",
        "spaces": [{"name": "tank", "sealed": True}], "tests": [lab("tank", "620")],
    }  # fmt: skip


def test_a_part_like_its_unit_keeps_the_fluid_and_no_litres() -> None:
    part = part_line(UNIT, "conservator", [lab("tank")])
    assert (part["kind"], part["fluid"], part["mounting"], part["built"]) == ("transformer", "mineral", "pole", "1968")
    assert not {"fluid_volume_l", "gross_mass_kg", "tests", "spaces"} & set(part)


def test_a_space_that_only_a_bottle_names_is_like_the_unit() -> None:
    assert space_of(UNIT, "dip tube") == {"name": "dip tube"}
    assert part_line(UNIT, "dip tube", [])["kind"] == "transformer"


def test_what_stays_is_the_same_without_the_part() -> None:
    line = {**UNIT, "tests": [lab("tank"), lab("bushing 1")]}
    assert rest_line(line, "bushing 1") == {**UNIT, "spaces": [{"name": "conservator"}], "tests": [lab("tank")]}
    only = {**UNIT, "spaces": UNIT["spaces"][:1], "tests": [lab("bushing 1")]}
    assert rest_line(only, "bushing 1") == {key: value for key, value in UNIT.items() if key != "spaces"}


def test_who_said_so_goes_with_what_is_the_same() -> None:
    part = part_line(UNIT, "bushing 1", [])
    sources = {"kind": "seen", "built": "guessed", "decided_waste": "said", "fluid": "seen"}
    assert part_sources(UNIT, part, sources) == {"decided_waste": "said"}


KINDS = ["bushing", "capacitor", "instrument_transformer", "switch", "other", "transformer"]


@st.composite
def lines(draw: st.DrawFn) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """A unit with one more oil space, and what was tried on either."""
    space: dict[str, Any] = {"name": "part"}
    if kind := draw(st.sampled_from(["", *KINDS])):
        space["kind"] = kind
    if built := draw(st.sampled_from(["", "1960", "1990", "2005"])):
        space["built"] = built
    if draw(st.booleans()):
        space["sealed"] = draw(st.booleans())
    more = {
        "fluid": draw(st.sampled_from(["", "mineral", "askarel", "silicone"])),
        "built": draw(st.sampled_from(["", "1955", "1979", "2001"])),
        "mounting": draw(st.sampled_from(["", "pole", "indoor"])),
        "found_in": draw(st.sampled_from(["US-OR", "NZ", "GB", "CA-ON", "AU-VIC", "DE"])),
    }  # fmt: skip
    line = {"kind": draw(st.sampled_from(["transformer", "regulator", "breaker", "capacitor"])), "spaces": [space]}
    line |= {key: value for key, value in more.items() if value}
    if draw(st.booleans()):
        line["plate_words"] = [draw(st.sampled_from(["ASKAREL", "MINERAL OIL", "NON-PCB"]))]
    if draw(st.booleans()):
        line["history"] = [{"what": draw(st.sampled_from(["refilled", "topped_up", "retrofilled"]))}]
    screen = {"how": "screen", "on": "2026-02-01", "set_point": "50", "control_ok": True}
    tried = st.one_of(
        st.builds(lab, st.sampled_from(["tank", "part"]), st.sampled_from(["1", "30", "62", "700"])),
        st.builds(
            lambda space, colour: {**screen, "space": space, "colour": colour},
            st.sampled_from(["tank", "part"]), st.sampled_from(["yellow", "blue_violet"]),
        ),
    )  # fmt: skip
    return line, draw(st.lists(tried, max_size=3))


def parts_of(line: dict[str, Any]) -> dict[str, Any]:
    """Class and care of each oil space of a line."""
    from hazmat import rulebooks

    unit = read_unit(line, "U", date.max)
    assert unit.found_in
    judge = assessor(ON).judge(rulebooks.law_of(unit.found_in), unit.found_in)
    return {one.name: one for one in judge.part_by_part(unit)}


@given(lines())
@settings(deadline=None)
def test_hands_never_take_a_part_with_less_care_than_before(told: tuple[dict[str, Any], list[dict[str, Any]]]) -> None:
    line, tests = told
    before = parts_of({**line, **({"tests": tests} if tests else {})})["part"]
    after = parts_of(part_line(line, "part", tests))["tank"]
    assert rank(as_care(after.band)) >= rank(as_care(before.band))


@given(lines())
@settings(deadline=None)
def test_what_stays_counts_as_it_did_by_itself(told: tuple[dict[str, Any], list[dict[str, Any]]]) -> None:
    line, tests = told
    whole = {**line, **({"tests": tests} if tests else {})}
    before, after = parts_of(whole)["tank"], parts_of(rest_line(whole, "part"))["tank"]
    assert (after.klass, after.basis, after.band) == (before.klass, before.basis, before.band)
    assert set(CARE) >= {as_care(after.band)}

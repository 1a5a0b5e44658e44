"""What must not be believed, and acts that could hurt: evidence that a careful officer would not let pass."""

import pytest

from tests.core.strategies_core import NEW, OLD, Line, ask, lab, within, yellow

# ---------------------------------------------------------------------------------------------- must not be believed


@pytest.mark.parametrize(
    "test",
    [
        lab(sign=">", reporting_limit=50),
        lab(sign=">", reporting_limit=500),
        lab(0, sign=">", reporting_limit=2),
    ],
    ids=["more than a limit", "more than the upper limit", "more than nought"],
)
def test_more_than_is_never_read_as_less_than(test: Line) -> None:
    """`>` takes the worst class that it allows (house rule); a limit beside it does not turn it round."""
    answer = ask({**NEW, "tests": [test]}, "us")
    assert answer.klass == "from_500"
    assert answer.care == "ge500"


def test_a_void_screen_does_not_disarm_a_valid_one_of_the_same_sample() -> None:
    """Only two usable screens can contradict each other."""
    void = {"how": "screen", "set_point": 50, "colour": "blue_violet", "expired": True, "sample": "s"}
    answer = ask({**NEW, "tests": [yellow(500, sample="s"), void]}, "us")
    assert (answer.klass, answer.force) == ("from_500", "care")


def test_two_usable_screens_of_one_sample_that_contradict_leave_the_class_to_a_laboratory() -> None:
    """“Above” still counts for the band and for care."""
    blue = {"how": "screen", "set_point": 50, "colour": "blue_violet", "sample": "s"}
    answer = ask({**NEW, "tests": [yellow(500, sample="s"), blue]}, "us")
    assert (answer.band, answer.care) == ("ge500", "ge500")
    assert "laboratory" in [task.act for task in answer.next]


def test_a_screen_counts_on_a_hydrocarbon_put_in_later() -> None:
    """Method 9079 is for hydrocarbon oils; R-Temp is one, so that yellow on it is evidence of harm."""
    answer = ask({**NEW, "plate_words": ["R-TEMP"], "tests": [yellow(500)]}, "us")
    assert (answer.klass, answer.care) == ("from_500", "ge500")


def test_a_reading_in_per_cent_is_not_taken_for_ppm() -> None:
    """1 % is 10,000 mg/kg."""
    answer = ask({**NEW, "tests": [{"how": "screen", "value": 1, "unit": "%"}]}, "us")
    assert answer.care == "ge500"


def test_a_liquid_that_sinks_does_not_take_a_yellow_screen_away() -> None:
    answer = ask({**NEW, "tests": [yellow(500), {"how": "density", "sinks": True}]}, "us")
    assert answer.klass == "from_500"


@pytest.mark.parametrize(("limit", "care"), [(600, "ge500"), (501, "ge500"), (500, "50_499")])
def test_less_than_a_high_limit_still_raises_care_after_a_top_up(limit: int, care: str) -> None:
    """`<600` allows 599: fresh it takes hands to the top, so a later top-up must not bring them down."""
    test = lab(limit, sign="<", on="2010-01-01")
    assert ask({**NEW, "tests": [test]}, "us").care == care
    assert ask({**NEW, "tests": [test], "history": [{"what": "topped_up", "on": 2015}]}, "us").care == care


@pytest.mark.parametrize("figure", [3, 12, 45, 60])
def test_a_result_older_than_a_top_up_no_longer_establishes(figure: int) -> None:
    """House rule: whatever went in later, so that a higher old figure never brings a class or hands down."""
    history = [{"what": "topped_up", "on": 2020, "fluid_mg_kg": 12}]
    answer = ask({**OLD, "fluid": "other", "tests": [lab(figure, on="2011-05-20")], "history": history}, "us")
    assert answer.basis != "established"
    assert (answer.klass, answer.care) == ("from_500", "ge500")


def test_one_result_does_not_speak_for_a_whole_lot() -> None:
    """Twelve like units, one bottle: the others stand on what is presumed (safety band: the worst of the lot)."""
    answer = ask({**OLD, "count": 12, "tests": [lab(3)]}, "us")
    assert answer.basis != "established"
    assert answer.klass == "50_to_499"


def test_a_mark_on_the_unit_says_nothing_about_a_capacitor_inside_it() -> None:
    """40 CFR 761.40(g) is about the mark on the capacitor itself."""
    line = {**NEW, "built": 1985, "marks": ["maker_no_pcbs"], "spaces": [{"name": "surge can", "kind": "capacitor"}]}
    line["spaces"][0]["built"] = "1978-08/1979-06"
    assert ask(line, "us").klass == "from_500"


def test_a_makers_document_does_not_outweigh_a_listed_name_on_the_plate() -> None:
    """House rule: on a plate that names a PCB fluid only a laboratory figure may establish another class."""
    label = {"how": "maker_label", "sign": "<", "value": 50, "unit": "ppm"}
    answer = ask({**NEW, "plate_words": ["PYRANOL"], "tests": [label], "service_records": "all"}, "us")
    assert (answer.klass, answer.basis) == ("from_500", "plate")


def test_a_density_above_water_is_a_liquid_that_sinks() -> None:
    """The unit's liquid weighs 1.5 kg a litre: that is no mineral oil, whatever was said."""
    assert ask({**NEW, "density_kg_l": "1.5"}, "nz").band == "ge500"


@pytest.mark.parametrize(
    "words",
    [
        "CONTAINS PCB. MOISTURE < 30 PPM",
        "WATER MAX 30 PPM, PCB 800 PPM",
        "PCB < 500 PPM, SULPHUR < 1 PPM",
        "MAX 2 PPM WATER. CAUTION CONTAINS PCBs",
        "FILLED WITH P.C.B.",
        "NOT PCB FREE",
    ],
)
def test_a_plate_that_says_pcb_is_not_talked_away(words: str) -> None:
    answer = ask({**NEW, "plate_words": [words]}, "us")
    assert (answer.klass, answer.basis, answer.care) == ("from_500", "plate", "ge500")


@pytest.mark.parametrize("law", ["us", "nz", "none"])
def test_a_makers_document_above_a_laboratory_figure_is_answered(law: str) -> None:
    label = {"how": "maker_label", "value": 60, "unit": "ppm"}
    answer = ask({**NEW, "tests": [lab(3, **within(1)), label]}, law)
    assert answer.care == "50_499"


# ---------------------------------------------------------------------------------------------- acts that could hurt

LOW = {**NEW, "role": "carrier", "found_in": "CH"}
DOUBTS: dict[str, Line] = {
    "a wipe not read yet": {"how": "wipe", "value": 900, "unit": "ug/100cm2"},
    "a higher figure without basis": lab(600, "mg/L"),
    "a higher figure of a mixed sample": lab(900, composite=True),
}


@pytest.mark.parametrize("doubt", sorted(DOUBTS))
@pytest.mark.parametrize("law", ["us", "nz"])
def test_nobody_is_told_to_take_it_while_higher_evidence_is_open(law: str, doubt: str) -> None:
    """The class is established low, but hands go by the highest care: then it stays on hold."""
    answer = ask({**LOW, "tests": [lab(3, **within(1)), DOUBTS[doubt]]}, law)
    assert answer.care == "ge500"
    assert not any(task.says.startswith("You may take it") for task in answer.next)
    assert "hold" in [task.act for task in answer.next]


@pytest.mark.parametrize("law", ["us", "nz"])
def test_a_leaking_unit_is_not_taken_away(law: str) -> None:
    """One act says never on the road; another may not say that it may be taken."""
    answer = ask({**LOW, "state": "leaking", "tests": [lab("1.2", **within("0.5", k=2))]}, law)
    assert "contain" in [task.act for task in answer.next]
    assert not any(task.says.startswith("You may take it") for task in answer.next)


@pytest.mark.parametrize("law", ["us", "nz"])
def test_a_plate_and_a_low_result_that_disagree_are_settled_first(law: str) -> None:
    """30 mg/kg under a plate that names a PCB fluid: somebody drained it, or sampled another unit."""
    answer = ask({**OLD, "plate_words": ["PYRANOL"], "tests": [lab(30, **within(2, k=2))]}, law)
    assert "settle_figures" in [task.act for task in answer.next]


def test_a_drum_is_not_proved_dead() -> None:
    says = " ".join(task.says for task in ask({"kind": "drum", "found_in": "CH"}, "us").next)
    assert "proved dead" not in says
    assert "live" not in says


def test_a_sealed_space_that_decides_is_left_sealed() -> None:
    """The tank is known; what is open is a bushing that cannot be sampled without breaking it."""
    bushing = {"name": "bushing H1", "kind": "bushing", "built": 1961, "sealed": True}
    answer = ask({**OLD, "tests": [lab(3, **within(1))], "spaces": [bushing]}, "us")
    assert "leave_sealed" in [task.act for task in answer.next]


def test_a_drained_unit_gets_an_act_of_its_own() -> None:
    """“Drained” is a claim: what clings to core and walls is still there (common practice, no source)."""
    drained = ask({**OLD, "state": "drained"}, "us")
    assert [t.says for t in drained.next] != [t.says for t in ask({**OLD, "state": "removed"}, "us").next]


def test_a_leaking_unit_is_live_before_it_is_leaking() -> None:
    """Electricity kills before PCB does (common practice, no source): that act, or that warning, stands first."""
    first = ask({**OLD, "state": "leaking"}, "us").next[0].says
    assert "live" in first


def test_the_order_of_spaces_does_not_choose_the_basis() -> None:
    spaces = [{"name": "a", "kind": "switch", "built": 1961}, {"name": "b"}]
    tests = [lab(3, **within(1)), lab(700, space="b")]
    one = ask({**OLD, "tests": tests, "spaces": spaces}, "us")
    other = ask({**OLD, "tests": tests, "spaces": spaces[::-1]}, "us")
    assert (one.klass, one.basis, one.force) == (other.klass, other.basis, other.force)

"""Units as lines of a register, for the property tests of the core; and the product asked about them.

A unit is a dict as JSON would hold it. Law `none` is the law of a country for which no rulebook is held.
"""

import json
from collections.abc import Callable
from copy import deepcopy
from datetime import date
from functools import cache
from itertools import count
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from hazmat import rulebooks
from hazmat.core.assess import Assessment, Judge
from hazmat.core.bulk import CARE
from hazmat.core.facts import Unit
from hazmat.core.law import UNDETERMINED, LawDay
from hazmat.edge.reader import Reader
from hazmat.rulebooks.fluids import fluid_names

DAY = date(2026, 11, 25)
LAWS = ("us", "ca", "nz", "au", "gb", "eu", "treaty", "none")
KINDS = (
    "transformer", "regulator", "breaker", "recloser", "switch", "capacitor", "bushing", "instrument_transformer",
    "cable", "rectifier", "ballast", "electromagnet", "motor", "drum", "other",
)  # fmt: skip
Line = dict[str, Any]

# ---------------------------------------------------------------------------------------------- the product asked

_reader = Reader(DAY)
_ids = count()


@cache
def law_day(name: str) -> LawDay:
    """A rulebook as it stands on the day of these tests."""
    return LawDay(rulebooks.rulebook(name), DAY)


def fresh_judge(law: str) -> Judge:
    """A judge that remembers nothing."""
    return Judge(None if law == "none" else law_day(law), law_day("handling"), fluid_names(), DAY)


known_judge = cache(fresh_judge)


def read(line: Line) -> Unit:
    """The line through the strict reader, under an id of its own."""
    return _reader.unit(json.dumps({**line, "id": f"u{next(_ids)}"}).encode())


def ask(line: Line, law: str = "us", judge: Judge | None = None) -> Assessment:
    """The answer for a line, with its id taken off so that answers can be compared."""
    return (judge or known_judge(law)).assess(read(line))._replace(id="")


def care_rank(answer: Assessment) -> int:
    return CARE.index(answer.care)


def class_fell(before: Assessment, after: Assessment) -> bool:
    """Whether the class came down. *Undetermined* stands between the lowest class and the top one."""
    if before.rulebook is None or before.klass == after.klass:
        return False
    classes = list(rulebooks.rulebook(before.rulebook).classes)
    if before.klass == UNDETERMINED:
        return after.klass == classes[0]
    if after.klass == UNDETERMINED:
        return before.klass == classes[-1]
    return classes.index(after.klass) < classes.index(before.klass)


# ---------------------------------------------------------------------------------------------- single values

SPANS = st.sampled_from(
    [
        1952, 1968, "1970/1985", "1978", "1978-06-30", "1978-07-01", "1979", "1979-07-01", "1979-07-02", "1979-07-03",
        "1979-07", "1979-08", "/1985", "1970/", "~1975", "~1990", 1985, 1995, "1995-12-31", "1996-01-01", "1995/1996",
        1998, "1996/", "2005-03-04", 2014,
    ]
)  # fmt: skip
TEST_DAYS = st.sampled_from(["1999-05-05", "2011-05-20", "2019-02-28", "2026-10-15"])
EVENT_DAYS = st.sampled_from([1990, "2004-06", "2011-05-20", "2015/2018", "/2012", "2020/"])
PLATES = (
    "50 KVA", "TYPE ONAN", "OIL 630 GAL", "PYRANOL", "Inerteen", "ASKAREL FILLED", "CONTAINS PCB", "NON-PCB", "NO PCBs",
    "LESS THAN 50 PPM PCB AT TIME OF MANUFACTURE", "R-TEMP", "WECOSOL", "THERMINOL 66", "DK", "Therminol FR-3",
)  # fmt: skip
SPACE_NAMES = ("tank", "bushing H1", "tap changer", "cable box")
FIGURES = (
    "0.5", "1.9", 2, 3, 12, "41.1", "41.2", 45, "49.9", 50, "50.1", 62, 400, "499.9", 500, 740, 120000,
)  # fmt: skip


def maybe(values: SearchStrategy[Any], often: int = 1) -> SearchStrategy[Any]:
    """The value or nothing; `often`: times as likely to be there as not."""
    return st.one_of(st.none(), *[values] * often)


def amounts(*values: str | int) -> SearchStrategy[Any]:
    return st.sampled_from(values)


# ---------------------------------------------------------------------------------------------- tests


def laboratory() -> SearchStrategy[Line]:
    uncertainty = st.fixed_dictionaries(
        {"value": amounts(1, 5, 10, 20), "kind": st.sampled_from(["percent", "absolute"])},
        optional={"k": amounts(1, "1.96", 2, 3)},
    )
    units = st.sampled_from(
        [
            {"unit": "mg/kg"}, {"unit": "mg/kg"}, {"unit": "mg/L"}, {"unit": "mg/L", "density_kg_l": "0.88"},
            {"unit": "ppm"}, {"unit": "ppm", "basis": "weight"}, {"unit": "ppm", "basis": "volume"},
        ]
    )  # fmt: skip
    figures = st.one_of(
        st.fixed_dictionaries({"value": st.sampled_from(FIGURES)}),
        st.fixed_dictionaries({"value": st.sampled_from(FIGURES), "sign": st.sampled_from(["<", ">"])}),
        st.fixed_dictionaries({"reporting_limit": amounts("0.5", 2, 60)}),
    )
    extra = st.fixed_dictionaries(
        {},
        optional={"on": TEST_DAYS, "uncertainty": uncertainty, "composite": st.booleans(), "space": spaces_named()},
    )
    return st.builds(lambda a, b, c: {"how": "laboratory", **a, **b, **c}, units, figures, extra)


def spaces_named() -> SearchStrategy[str]:
    return st.sampled_from(SPACE_NAMES)


def screens() -> SearchStrategy[Line]:
    return st.fixed_dictionaries(
        {"how": st.just("screen"), "set_point": amounts(20, 50, 100, 500)},
        optional={
            "colour": st.sampled_from(["yellow", "blue_violet", "unclear"]),
            "wet": st.booleans(),
            "expired": st.booleans(),
            "control_ok": st.booleans(),
            "space": spaces_named(),
            "on": TEST_DAYS,
            "sample": st.sampled_from(["B-1", "B-2"]),
        },
    )


def other_tests() -> SearchStrategy[Line]:
    return st.one_of(
        st.fixed_dictionaries({"how": st.just("density")}, optional={"sinks": st.booleans(), "space": spaces_named()}),
        st.fixed_dictionaries(
            {"how": st.just("maker_label"), "unit": st.just("ppm")},
            optional={"value": amounts(1, 20, 50, 600), "sign": st.sampled_from(["<", "="]), "contrary": st.booleans()},
        ),
        st.fixed_dictionaries({"how": st.just("wipe"), "value": amounts(8, 900), "unit": st.just("ug/100cm2")}),
        st.fixed_dictionaries({"how": st.just("similar_unit"), "value": amounts(3, 900), "unit": st.just("mg/kg")}),
        st.fixed_dictionaries(
            {"how": st.just("laboratory"), "value": amounts(3, 900), "unit": st.just("mg/kg")},
            optional={"matrix": st.just("solid"), "congener_sum": st.sampled_from(["six", "seven"])},
        ),
    )


def any_test() -> SearchStrategy[Line]:
    return st.one_of(laboratory(), laboratory(), screens(), other_tests())


# ---------------------------------------------------------------------------------------------- units


def events() -> SearchStrategy[Line]:
    return st.fixed_dictionaries(
        {"what": st.sampled_from(["refilled", "topped_up", "reclaimed", "retrofilled", "drained"])},
        optional={"on": EVENT_DAYS, "fluid_mg_kg": amounts(0, 1, 12, 60, 700)},
    )


def inner_spaces() -> SearchStrategy[list[Line]]:
    one = st.fixed_dictionaries(
        {"name": st.sampled_from(SPACE_NAMES[1:])},
        optional={
            "kind": st.sampled_from(["bushing", "switch", "capacitor", "instrument_transformer"]),
            "built": SPANS,
            "sealed": st.booleans(),
        },
    )
    return st.lists(one, max_size=2, unique_by=lambda space: space["name"])


def units(tests: int = 3) -> SearchStrategy[Line]:
    """Any unit of one item; `tests`: at most so many."""
    shape = {
        "kind": st.sampled_from((*KINDS, "transformer", "transformer", "transformer", "capacitor")),
        "mounting": maybe(st.sampled_from(["pole", "pad", "ground", "indoor"])),
        "construction": maybe(st.sampled_from(["conservator", "sealed"])),
        "fluid": maybe(st.sampled_from(["mineral"] * 6 + ["askarel", "silicone", "ester", "other"]), 2),
        "fluid_mass_kg": maybe(amounts("1.359", "1.36", 190, 2100)),
        "fluid_volume_l": maybe(amounts("0.5", 75)),
        "voltage_v": maybe(amounts(1999, 2000, 7200)),
        "body_cm3": maybe(amounts(1600, 2000, 4000)),
        "gross_mass_kg": maybe(amounts(3, 60)),
        "built": maybe(SPANS, 3),
        "made_in": maybe(st.sampled_from(["US", "GB", "JP"])),
        "role": maybe(st.sampled_from(["holder", "generator", "collector", "carrier", "receiver"])),
        "marks": st.sampled_from(
            [[], [], [], [], ["maker_no_pcbs"], ["owner_no_pcbs"], ["pcb_mark"], ["pcb_contaminated_mark"]]
        ),
        "plate_words": st.one_of(st.just([]), st.just([]), st.lists(st.sampled_from(PLATES), max_size=2, unique=True)),
        "history": st.one_of(st.just([]), st.lists(events(), max_size=2)),
        "service_records": maybe(st.sampled_from(["all", "some", "none"])),
        "state": maybe(st.sampled_from(["intact", "leaking", "drained", "in_use", "removed"])),
        "decided_waste": maybe(st.just("2026-06-18")),
        "found_in": st.just("CH"),
        "spaces": st.one_of(st.just([]), st.just([]), inner_spaces()),
        "tests": st.lists(any_test(), max_size=tests),
    }
    return st.fixed_dictionaries(shape).map(_tidied)


def mild_units() -> SearchStrategy[Line]:
    """Units of which little harm is known, where a slip would show: built late, or with evidence of one kind."""
    shape = {
        "kind": st.sampled_from(["transformer", "transformer", "breaker", "capacitor", "regulator", "drum"]),
        "mounting": maybe(st.sampled_from(["pole", "ground"])),
        "fluid": st.sampled_from([None, "mineral", "mineral", "mineral", "ester"]),
        "built": st.sampled_from([1968, 1985, 2005, 2005, 2005]),
        "service_records": st.sampled_from([None, "some", "all"]),
        "history": st.one_of(st.just([]), st.just([]), st.lists(events(), max_size=1)),
        "tests": st.lists(any_test(), min_size=1, max_size=3),
        "plate_words": st.sampled_from([[], [], [], ["NON-PCB"], ["R-TEMP"], ["WECOSOL"], ["DK"]]),
        "marks": st.sampled_from([[], [], [], ["owner_no_pcbs"], ["maker_no_pcbs"]]),
        "found_in": st.just("CH"),
    }
    return st.fixed_dictionaries(shape).map(_tidied)


def _tidied(line: Line) -> Line:
    return {key: value for key, value in line.items() if value is not None and value != []}


# ---------------------------------------------------------------------------------------------- evidence added

Change = Callable[[Line], Line]


def _adding(key: str, *more: Any) -> Change:
    def change(line: Line) -> Line:
        changed = deepcopy(line)
        changed[key] = [*changed.get(key, []), *more]
        return changed

    return change


HARM: dict[str, Change] = {
    "a PCB mark": _adding("marks", "pcb_mark"),
    "a PCB-contaminated mark": _adding("marks", "pcb_contaminated_mark"),
    "a listed PCB name on the plate": _adding("plate_words", "PYRANOL"),
    "the bare word PCB on the plate": _adding("plate_words", "CAUTION CONTAINS PCBs"),
    "a usable screen above 20": _adding("tests", {"how": "screen", "set_point": 20, "colour": "yellow"}),
    "a usable screen above 500": _adding("tests", {"how": "screen", "set_point": 500, "colour": "yellow"}),
    "a high figure by volume without density": _adding("tests", {"how": "laboratory", "value": 900, "unit": "mg/L"}),
    "a high figure of a mixed sample": _adding(
        "tests", {"how": "laboratory", "value": 900, "unit": "mg/kg", "composite": True}
    ),
    "a liquid that sinks": _adding("tests", {"how": "density", "sinks": True}),
    "a top-up that nobody measured": _adding("history", {"what": "topped_up"}),
    "a top-up with bad oil": _adding("history", {"what": "topped_up", "fluid_mg_kg": 700}),
    "a retrofill": _adding("history", {"what": "retrofilled"}),
    "a wipe that is not read yet": _adding("tests", {"how": "wipe", "value": 900, "unit": "ug/100cm2"}),
    "a similar unit that is not read yet": _adding("tests", {"how": "similar_unit", "value": 900, "unit": "mg/kg"}),
    "an old sealed bushing": _adding(
        "spaces", {"name": "bushing X9", "kind": "bushing", "built": 1961, "sealed": True}
    ),
    "an old bushing without a year": _adding("spaces", {"name": "bushing X9", "kind": "bushing"}),
}
"""Evidence of harm that establishes nothing: the care and the class may only rise."""

IDLE: dict[str, Change] = {
    "a screen below 20": _adding("tests", {"how": "screen", "set_point": 20, "colour": "blue_violet"}),
    "a screen below 500": _adding("tests", {"how": "screen", "set_point": 500, "colour": "blue_violet"}),
    "a void screen": _adding("tests", {"how": "screen", "set_point": 50, "colour": "blue_violet", "expired": True}),
    "a liquid that floats": _adding("tests", {"how": "density", "sinks": False}),
    "an owner's mark": _adding("marks", "owner_no_pcbs"),
    "a plate that claims no PCB": _adding("plate_words", "NON-PCB"),
    "a plate that claims little PCB": _adding("plate_words", "LESS THAN 50 PPM PCB"),
    "a low figure of a mixed sample": _adding(
        "tests", {"how": "laboratory", "value": "0.5", "unit": "mg/kg", "composite": True}
    ),
    "a low figure by volume without density": _adding("tests", {"how": "laboratory", "value": 1, "unit": "mg/L"}),
    "a low figure in bare ppm": _adding("tests", {"how": "laboratory", "value": 1, "unit": "ppm"}),
    "nothing found and no limit": _adding("tests", {"how": "laboratory", "unit": "mg/kg"}),
    "a nought without a limit": _adding("tests", {"how": "laboratory", "value": 0, "unit": "mg/kg"}),
    "a country of make": lambda line: {**line, "made_in": "JP"},
    "a day of last use": lambda line: {**line, "last_energised": 2020},
}
"""What no rulebook lets establish: it never lowers a class and makes nothing established."""


def harm() -> SearchStrategy[str]:
    return st.sampled_from(sorted(HARM))


def idle() -> SearchStrategy[str]:
    return st.sampled_from(sorted(IDLE))


# ---------------------------------------------------------------------------------------------- lines to begin with

NEW: Line = {"kind": "transformer", "built": 2005, "fluid": "mineral", "found_in": "CH"}
OLD: Line = {"kind": "transformer", "built": 1965, "fluid": "mineral", "found_in": "CH"}
CAN: Line = {"kind": "capacitor", "found_in": "CH"}


def lab(value: Any = None, unit: str = "mg/kg", **more: Any) -> Line:
    return {"how": "laboratory", "unit": unit, **({} if value is None else {"value": value}), **more}


def yellow(set_point: int = 500, **more: Any) -> Line:
    return {"how": "screen", "set_point": set_point, "colour": "yellow", **more}


def within(value: Any, kind: str = "absolute", **k: Any) -> Line:
    return {"uncertainty": {"value": value, "kind": kind, **k}}

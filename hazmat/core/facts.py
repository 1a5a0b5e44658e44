"""What is said about one unit. Frozen values; None, or nothing in a tuple, means *not known*.

Shapes are those of one line of a register; the edge reads them, the core never does.
Per item of a lot: masses in kg, volumes in L, densities in kg/L, voltages in V, a capacitor's outside volume in cm3.
"""

from dataclasses import dataclass
from typing import Literal

from hazmat.core.measures import Count, Day, LastDay, Measure, Place, Tag
from hazmat.core.spans import Span

Kind = Literal[
    "transformer", "regulator", "breaker", "recloser", "switch", "capacitor", "bushing", "instrument_transformer",
    "cable", "rectifier", "ballast", "electromagnet", "motor", "drum", "other",
]  # fmt: skip
Mounting = Literal["pole", "pad", "ground", "indoor"]
Construction = Literal["conservator", "sealed"]
Fluid = Literal["mineral", "askarel", "silicone", "ester", "other"]
Role = Literal["holder", "generator", "collector", "carrier", "receiver"]
Site = Literal["sensitive", "electrical_facility", "other"]
"""Where a unit stands: a school, hospital, food or water plant, home for children or the old, or within its reach; a
place that makes, sends or shares out electricity; or elsewhere."""
Mark = Literal["maker_no_pcbs", "owner_no_pcbs", "pcb_mark", "pcb_contaminated_mark"]
State = Literal["intact", "leaking", "drained", "in_use", "removed"]
Service = Literal["all", "some", "none"]
Change = Literal["refilled", "topped_up", "reclaimed", "retrofilled", "drained"]
How = Literal["laboratory", "screen", "wipe", "density", "maker_label", "similar_unit"]
Sign = Literal["=", "<", ">"]
Unit_of_measure = Literal["mg/kg", "mg/L", "ppm", "ug/100cm2", "%"]
Basis = Literal["weight", "volume"]
Matrix = Literal["oil", "solid", "surface"]
Colour = Literal["yellow", "blue_violet", "unclear"]

ONE = Count(1)
TANK = "tank"
"""The oil space that a unit has when nobody named another."""


@dataclass(frozen=True, kw_only=True)
class Uncertainty:
    """Expanded uncertainty of a result: in per cent of the value, or in the value's unit; k as reported."""

    value: Measure
    kind: Literal["percent", "absolute"]
    k: Measure | None = None


@dataclass(frozen=True, kw_only=True)
class Test:
    """One piece of measured or documented evidence about one oil space.

    `raw`: a laboratory's own figure before rounding or a correction for recovery, in the unit of `value`.
    """

    how: How
    space: str = TANK
    on: Day | None = None
    sign: Sign = "="
    value: Measure | None = None
    raw: Measure | None = None
    unit: Unit_of_measure | None = None
    basis: Basis | None = None
    density_kg_l: Measure | None = None
    reporting_limit: Measure | None = None
    uncertainty: Uncertainty | None = None
    matrix: Matrix = "oil"
    method: str | None = None
    accredited: bool | None = None
    congener_sum: Literal["six", "seven", "total"] | None = None
    congeners: dict[str, Measure] | None = None
    factor: Measure | None = None
    set_point: Measure | None = None
    colour: Colour | None = None
    wet: bool | None = None
    expired: bool | None = None
    control_ok: bool | None = None
    sinks: bool | None = None
    composite: bool | None = None
    contrary: bool | None = None
    sample: str | None = None
    report: str | None = None


@dataclass(frozen=True, kw_only=True)
class Event:
    """Something done to the fluid; `fluid_mg_kg` is the PCB in what was put in."""

    what: Change
    on: Span | None = None
    fluid_mg_kg: Measure | None = None


@dataclass(frozen=True, kw_only=True)
class Space:
    """An oil space of its own. Without a kind it is like the unit; a sealed one cannot be sampled."""

    name: str
    kind: Kind | None = None
    built: Span | None = None
    sealed: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Unit:
    """A unit, or a lot of like units (`count`), as one line of a register tells it."""

    id: Tag
    kind: Kind
    mounting: Mounting | None = None
    construction: Construction | None = None
    fluid: Fluid | None = None
    fluid_mass_kg: Measure | None = None
    fluid_volume_l: Measure | None = None
    density_kg_l: Measure | None = None
    gross_mass_kg: Measure | None = None
    voltage_v: Measure | None = None
    body_cm3: Measure | None = None
    count: Count = ONE
    built: Span | None = None
    last_energised: Span | None = None
    decided_waste: Day | None = None
    arrived: Day | None = None
    in_use_before: Day | None = None
    use_extended_until: LastDay | None = None
    made_in: Place | None = None
    found_in: Place | None = None
    role: Role | None = None
    site: Site | None = None
    marks: tuple[Mark, ...] = ()
    plate_words: tuple[str, ...] = ()
    history: tuple[Event, ...] = ()
    service_records: Service | None = None
    state: State | None = None
    spaces: tuple[Space, ...] = ()
    tests: tuple[Test, ...] = ()


ABOUT_THE_THING = (
    "mounting", "construction", "fluid", "fluid_mass_kg", "fluid_volume_l", "density_kg_l", "gross_mass_kg",
    "voltage_v", "body_cm3", "built", "last_energised", "made_in", "marks", "plate_words", "history",
    "service_records", "state", "spaces", "tests",
)  # fmt: skip
"""Fields that say something about the thing itself, and not only where it is, whose, or how many."""


def nothing_known(unit: Unit) -> bool:
    """True where only the kind `other` is given: the band then reads *unknown*."""
    return unit.kind == "other" and not any(getattr(unit, name) for name in ABOUT_THE_THING)

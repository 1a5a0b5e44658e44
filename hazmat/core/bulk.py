"""Facts to column values, in one function: the seam at which one unit and a million meet the same tables.

`Seam.columns` (with `capacitor_size` for the sizes of capacitors) is the only place where a fact becomes a column
value. A table is then asked with those values and nothing else, so equal values are judged once.
"""

from collections.abc import Callable
from decimal import Decimal
from operator import itemgetter
from typing import NamedTuple, get_args

from hazmat.core import facts
from hazmat.core.facts import TANK, Event, Unit
from hazmat.core.identity import Plate
from hazmat.core.law import Amounts, LawDay
from hazmat.core.spans import Span

CARE = ("lt2", "2_49", "50_499", "ge500")
"""Steps of care, in order. The figures behind them stand in the handling book."""

ANY: tuple[str, ...] = ()
"""A column whose values each rulebook names for itself."""

COLUMN_VALUES: dict[str, tuple[str, ...]] = {
    "raw_kind": get_args(facts.Kind),
    "kind": ANY,
    "mounting": ("pole_or_pad", "other"),
    "fluid": ("mineral", "other", "unknown"),
    "amount": ("small", "not_small"),
    "built": ("before", "touches_cutoff", "after", "unknown"),
    "maker_mark": ("valid", "none"),
    "fluid_weight": ("under", "at_or_over", "unknown"),
    "volume": ("under_low", "between", "over_high", "unknown"),
    "weight": ("under", "at_or_over", "unknown"),
    "voltage": ("low", "high", "unknown"),
    "named": ("yes", "no"),
    "liquid": ("like_oil", "other", "unknown"),
    "age": ("old", "new"),
    "known": ("something", "nothing"),
    "route": ("laboratory", "screen", "maker_label", "similar_unit"),
    "figure": ("lawful", "not_lawful"),
    "records": ("complete", "incomplete"),
    "later": ("nothing_added", "maybe_added"),
    "sample": ("own", "mixed"),
    "contrary": ("none", "some"),
    "accredited": ("yes", "no", "unknown"),
    "litres": ("up_to_small", "up_to_inventory", "over_inventory", "unknown"),
    "stands": (*get_args(facts.Mounting), "unknown"),
    "use": ("in_use", "out_of_use", "unknown"),
    "in_use_since": ("shown", "not_shown"),
    "built_band": ("first", "second", "third", "unknown"),
    "site": (*get_args(facts.Site), "unknown"),
    "task": ("look", "sample", "bench", "drain", "drums", "cut", "spill", "hand_over", "after_fire"),
    "care": CARE,
    "country": ANY,
    "role": (*get_args(facts.Role), "unknown"),
    "proof": ("shown_low", "shown_high", "not_shown"),
    "standing": ("established_low", "established_high", "not_established"),
    "reach": ("open", "sealed", "both", "container"),
    "state": ("leaking", "drained", "other"),
    "unit_of_measure": ("asked", "fine"),
    "grade": ("asked", "fine"),
    "screen": ("repeat", "unfit", "fine"),
    "evidence": ("unread", "fine"),
    "history": ("asked", "fine"),
    "charge": ("stored", "none"),
    "figures": ("disagree", "fine"),
    "proved": ("yes", "no", "unknown"),
    "heavy": ("yes", "maybe", "no"),
    "untested_kind": get_args(facts.Kind),
    "other_kind": get_args(facts.Kind),
    "other_shown": ("low", "not_low"),
    "can": ("any", "its_unit", "another_unit"),
    "meets": ("empty", "own", "other"),
    "poured": ("untested", "low", "high"),
    "held": ("untested", "low", "high"),
    "step": ("same", "up", "down", "unknown"),
    "filled": ("as_made", "changed"),
    "hazard": ANY,
    "method": ANY,
    "liquid_named": ("mineral", "silicone", "ester", "askarel", "other", "unknown"),
    "seen": ("yes", "no", "unknown"),
    "shown": ("low", "not_low"),
    "drained": ("yes", "no"),
    "gas": ("free", "not_shown"),
    "paint": ("no_lead", "lead", "not_tested"),
    "work": ("look", "prove", "sample", "screen", "drain", "drums", "cut", "spill", "hand_over", "fire"),
    "event": (
        "death", "hospital", "amputation", "eye_loss", "serious", "shock", "exposure", "escape", "off_work", "other",
        "unknown",
    ),
    "spill_age": ("fresh", "old"),
    "spill_class": ANY,
    "spill_tested": ("yes", "no"),
    "spill_pcb": ("under_report", "from_report", "over_notice"),
    "spill_source": ("transformer", "other"),
    "signed": ("yes", "no"),
    "who": ("trained", "specialist", "barred"),
    "hands": ("work_gloves", "gauntlets", "layered_gloves", "not_here"),
    "breath": ("open_air", "mask", "powered_mask", "breathing_apparatus", "not_here"),
    "asked": ("hot", "indoors", "mist", "leak", "hot_leak", "pcb_name"),
    "said": ("yes", "no", "unknown", "unsaid"),
    "policy": ("supplied", "mask"),
    "air": ("above", "not_above", "unknown"),
    "glove": ("thin_nitrile", "gauntlet", "layered", "pvc_latex", "leather"),
    "wetted": ("before", "not_before"),
    "wet_for": ("within", "past"),
}  # fmt: skip
"""Every column that a table may name, with the values that it can take."""

SOME = frozenset(("route",))
"""Columns of which a rulebook may name some values only: evidence of another kind is not read under it."""
SPILL_COLUMNS: dict[str, tuple[str, ...]] = {
    "spill_rule": ANY,
    "spill_pcb": COLUMN_VALUES["spill_pcb"],
    "spill_on": ("water", "food_land", "other"),
    "spill_place": ("restricted", "open", "substation"),
    "spill_law": ("read", "silent", "none"),
    "spill_age": COLUMN_VALUES["spill_age"],
    "spill_reach": ("public", "fenced"),
    "care": CARE,
}
"""Every column that a rule on spills may ask; what is not known takes the value that asks for most."""
DUTY_COLUMNS: dict[str, tuple[str, ...]] = {
    name: COLUMN_VALUES[name] for name in ("raw_kind", "stands", "litres", "use", "in_use_since", "built_band", "site")
}
"""Every column that a duty may ask."""

BUILT_LINES = ("built_line_1", "built_line_2")
"""Figures of a law that part its years of building."""
CAPACITORS = ("capacitor", "ballast")
POLE_OR_PAD = ("pole", "pad")
FLUIDS = {None: "unknown", "mineral": "mineral"}
"""Said fluid to column; every other said fluid is *other*."""


class Part(NamedTuple):
    """One oil space as the tables see it. `like_unit` False: it is of another kind and nothing is said of its fluid."""

    unit: Unit
    name: str
    kind: facts.Kind
    built: Span | None
    sealed: bool
    like_unit: bool
    sinks: bool
    plate: Plate


def put_in(event: Event) -> bool:
    """True where something was done to the fluid other than draining it."""
    return event.what != "drained"


def changed_blindly(event: Event) -> bool:
    """True where oil was put in that nobody measured, or the unit was retrofilled or its oil reclaimed."""
    return event.what in ("retrofilled", "reclaimed") or (
        event.what in ("refilled", "topped_up") and event.fluid_mg_kg is None
    )


class Seam:
    """Facts to columns under one law, or none, and the handling book, on one day."""

    def __init__(self, law: LawDay | None, house: LawDay) -> None:
        self.law, self.house = law, house
        self.cutoff = law.day("cutoff") if law else None
        self.kinds, self.handling_kinds = law.book.kinds if law else None, house.book.kinds
        self.heavy = house.number("heavy_density")
        self.marker_year = int(house.number("marker_year"))
        self.small_transformer = law.numbers.get("small_transformer_fluid") if law else None
        self._asks_litres = bool(law) and "litres" in law.tables["presumption"].columns  # type: ignore[union-attr]
        self.lightest = house.number("cautious_density")
        owed: dict[str, Callable[[Part], str]] = {
            "raw_kind": lambda part: part.unit.kind, "stands": lambda part: part.unit.mounting or "unknown",
            "litres": self.litres, "use": lambda part: _use(part.unit), "in_use_since": self._since,
            "built_band": self._built_band, "site": lambda part: part.unit.site or "unknown",
        }  # fmt: skip
        self._owed = [owed[name] for name in law.duty_columns] if law else []
        self._presumption = _picker(law.tables["presumption"].columns, {}) if law else None
        self._band = _picker(house.tables["band"].columns, {"kind": "handling_kind", "maker_mark": "handling_mark"})

    def columns(self, part: Part) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The values of one part for the presumption of the law (empty without one) and for the safety band."""
        unit, like, built = part.unit, part.like_unit, part.built
        fluid = FLUIDS.get(unit.fluid, "other") if like else "unknown"
        if part.sinks or (like and part.plate.reads == "not_pcb"):
            fluid = "other"
        on_pole = like and unit.mounting in POLE_OR_PAD
        breathes = like and unit.construction == "conservator"
        new = built is not None and built.earliest is not None and built.earliest.year > self.marker_year
        handling = self.handling_kinds[part.kind]
        mass = self.fluid_mass(part) if self.small_transformer else None
        values = {
            "kind": self.kinds[part.kind] if self.kinds else "",
            "handling_kind": "sealed_can" if part.sealed and handling == "other" else handling,
            "mounting": "pole_or_pad" if on_pole and part.kind == "transformer" else "other",
            "fluid": fluid,
            "amount": "small" if mass and self.small_transformer and mass < self.small_transformer else "not_small",
            "built": built.era(self.cutoff) if built is not None and self.cutoff else "unknown",
            "maker_mark": "valid" if unit.marks and self.law and self.maker_mark_counts(part, self.law) else "none",
            "handling_mark": "valid" if unit.marks and self.maker_mark_counts(part, self.house) else "none",
            "named": "yes" if self._named(part) else "no",
            "liquid": "like_oil" if fluid == "mineral" or (fluid == "unknown" and (on_pole or breathes)) else fluid,
            "age": "new" if new and not any(map(changed_blindly, unit.history)) else "old",
            "known": "nothing" if unit.kind == "other" and facts.nothing_known(unit) else "something",
            "litres": self.litres(part) if self._asks_litres else "unknown",
        }
        return self._presumption(values) if self._presumption else (), self._band(values)

    def capacitor_size(self, part: Part, law: LawDay) -> tuple[str, ...]:
        """The values of a capacitor or ballast for the law's table of sizes."""
        unit, numbers = part.unit, law.numbers
        mass, body, gross, volts = self.fluid_mass(part), unit.body_cm3, unit.gross_mass_kg, unit.voltage_v
        low, high = numbers["capacitor_volume_low"], numbers["capacitor_volume_high"]
        values = {
            "fluid_weight": _under(mass, numbers["small_capacitor_fluid"]),
            "volume": "unknown"
            if not body
            else "under_low"
            if body < low
            else "over_high"
            if body > high
            else "between",
            "weight": _under(gross, numbers["capacitor_weight"]),
            "voltage": "unknown" if not volts else "high" if volts >= numbers["high_voltage"] else "low",
        }
        return tuple(values[name] for name in law.tables["capacitor_size"].columns)

    def amounts(self, part: Part) -> Amounts:
        """Kilograms and litres of fluid of one item, each read high; None where not known."""
        kg, unit = self.fluid_mass(part), part.unit
        if kg is None:
            return Amounts(items=unit.count)
        litres = unit.fluid_mass_kg / self.lightest if unit.fluid_mass_kg else None
        said = [one for one in (unit.fluid_volume_l, litres) if one]
        return Amounts(kg, max(said), unit.count)

    def litres(self, part: Part) -> str:
        """Where the fluid stands against the two volumes of the law; capacitors of a lot count together."""
        small, inventory = self.law_number("small_fluid"), self.law_number("inventory_fluid")
        amounts = self.amounts(part)
        if amounts.litres is None or small is None or inventory is None:
            return "unknown"
        litres = amounts.litres * (amounts.items if part.kind in CAPACITORS else 1)
        return "up_to_small" if litres <= small else "over_inventory" if litres > inventory else "up_to_inventory"

    def law_number(self, name: str) -> Decimal | None:
        """A figure of the law, where there is one and it is in force."""
        return self.law.numbers.get(name) if self.law else None

    def owed_columns(self, part: Part) -> tuple[str, ...]:
        """The values of the columns that duties of the law ask."""
        return tuple([read(part) for read in self._owed])

    def _since(self, part: Part) -> str:
        """Whether it is shown to have been in use on the day that the law names."""
        since, start = self.law.day("in_use_line") if self.law else None, part.unit.in_use_before
        return "shown" if since and start and start <= since else "not_shown"

    def _built_band(self, part: Part) -> str:
        """Which of three stretches of building days the earliest possible day lies in."""
        first, second = (self.law.day(name) if self.law else None for name in BUILT_LINES)
        if first is None or second is None or part.built is None or part.built.earliest is None:
            return "unknown"
        day = part.built.earliest
        return "first" if day < first else "second" if day < second else "third"

    def fluid_mass(self, part: Part) -> Decimal | None:
        """Fluid of the filled item in kg, read high; None where not known, nought, drained, or of another space."""
        unit = part.unit
        drained = unit.state == "drained" or any(not put_in(event) for event in unit.history)
        if drained or not part.like_unit or part.name != TANK:
            return None
        if unit.fluid_volume_l:
            litres = unit.fluid_volume_l * self.heavy
            return max(litres, unit.fluid_mass_kg) if unit.fluid_mass_kg else litres
        return unit.fluid_mass_kg or None

    def maker_mark_counts(self, part: Part, by: LawDay) -> bool:
        """Whether a maker's No PCBs mark counts: on a capacitor or ballast, of its time, not large and high-voltage.

        `by`: the law, or the handling book, whose figures decide; without such figures no mark counts.
        """
        unit, first, numbers = part.unit, by.day("mark_from"), by.numbers
        if "maker_no_pcbs" not in unit.marks or part.kind not in CAPACITORS or not part.like_unit or first is None:
            return False
        if part.built is not None and (part.built.earliest is None or part.built.earliest < first):
            return False
        mass = self.fluid_mass(part)
        if mass is not None and mass < numbers["small_capacitor_fluid"]:
            return True
        shown_large = mass is not None or (unit.body_cm3 or 0) > numbers["capacitor_volume_high"]
        return unit.voltage_v < numbers["high_voltage"] if unit.voltage_v else not shown_large

    def _named(self, part: Part) -> bool:
        unit = part.unit
        return part.sinks or part.plate.reads == "pcb" or unit.fluid == "askarel" or "pcb_mark" in unit.marks


def _use(unit: Unit) -> str:
    """Whether it is in use; what was decided to be waste, drained or removed is not."""
    if unit.decided_waste or unit.state in ("drained", "removed"):
        return "out_of_use"
    return "in_use" if unit.state == "in_use" else "unknown"


def _under(value: Decimal | None, limit: Decimal) -> str:
    return "unknown" if not value else "under" if value < limit else "at_or_over"


def _picker(names: tuple[str, ...], instead: dict[str, str]) -> Callable[[dict[str, str]], tuple[str, ...]]:
    """Pick the values of a table's columns, in its order; `instead`: columns that take another value than their own."""
    keys = tuple(instead.get(name, name) for name in names)
    if len(keys) == 1:
        return lambda values: (values[keys[0]],)
    return itemgetter(*keys)

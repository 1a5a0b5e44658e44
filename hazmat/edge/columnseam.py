"""Columns of raw facts to the column values of the tables: what `Seam` does for one unit, for many at once.

Every figure is one of the law or of the handling book of the day. Amounts are compared exactly: a limit becomes the
greatest whole amount on its near side.
"""

from collections.abc import Callable, Iterable
from datetime import MAXYEAR, date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import ceil, floor

import numpy as np

from hazmat.core.bulk import CAPACITORS, COLUMN_VALUES, FLUIDS, POLE_OR_PAD
from hazmat.core.law import LawDay
from hazmat.edge.columns import BITS, MILLI, MOST, MOST_OF, SAID_BITS, WORDS, Column, Columns

KINDS = WORDS["kind"]
TRANSFORMER = KINDS.index("transformer")
IS_CAPACITOR = np.array([kind in CAPACITORS for kind in KINDS])
IS_POLE_OR_PAD = np.array([mounting in POLE_OR_PAD for mounting in WORDS["mounting"]])
CONSERVATOR = WORDS["construction"].index("conservator")
ASKAREL = WORDS["fluid"].index("askarel")
PLATE_PCB, PLATE_NOT_PCB = WORDS["plate"].index("pcb"), WORDS["plate"].index("not_pcb")
LITRES = ("small_fluid", "inventory_fluid")
"""Figures of a law that sort by litres of fluid."""


def _at(column: str, value: str) -> int:
    """The place of a value among those of its column."""
    return COLUMN_VALUES[column].index(value)


FLUID = np.array([_at("fluid", FLUIDS.get(fluid, "other")) for fluid in WORDS["fluid"]], np.int8)
"""Said fluid to the place of its value."""


def _where(condition: Column, column: str, yes: str, no: str) -> Column:
    """The place of one value where the condition holds, of the other elsewhere."""
    return np.where(condition, np.int8(_at(column, yes)), np.int8(_at(column, no)))


def _below(limit: Decimal | None, many: int = MILLI, over: Decimal | None = None) -> int:
    """The greatest whole amount that is less than a limit; `over`: each of its units counts as so many."""
    return -1 if limit is None else min(ceil(Fraction(limit) * many / Fraction(over or 1)) - 1, MOST)


def _within(limit: Decimal | None, many: int = MILLI, times: Decimal | None = None) -> int:
    """The greatest whole amount that is not more than a limit; `times`: so many of its units count as one."""
    return -1 if limit is None else min(floor(Fraction(limit) * many * Fraction(times or 1)), MOST)


class Raw:
    """Raw columns with what several column values ask of them, worked out once."""

    def __init__(self, columns: Columns, heavy: Decimal) -> None:
        self.given, self.heavy = columns, heavy
        self.likes = (columns.said & SAID_BITS["unlike"]) == 0

    def says(self, name: str) -> Column:
        """Whether this bit is set."""
        return np.asarray((self.given.said & SAID_BITS[name]) != 0)

    def rows(self, value: int) -> Column:
        """One place in every row."""
        return np.full(len(self.given), value, np.int8)

    @cached_property
    def liquid(self) -> Column:
        """The places of the column `fluid`."""
        given, none = self.given, SAID_BITS["sinks"] | SAID_BITS["unlike"]
        found = FLUID[given.fluid]
        found[given.plate == PLATE_NOT_PCB] = _at("fluid", "other")
        if (given.said & none).any():
            found[~self.likes] = _at("fluid", "unknown")
            found[self.says("sinks")] = _at("fluid", "other")
        return found

    @cached_property
    def on_pole(self) -> Column:
        return np.asarray(IS_POLE_OR_PAD[self.given.mounting] & self.likes)

    @cached_property
    def capacitor(self) -> Column:
        return np.asarray(IS_CAPACITOR[self.given.kind])

    @cached_property
    def undated(self) -> Column:
        """Nothing is known of when it was built; a span that is open on one side is known."""
        return np.asarray((self.given.earliest | self.given.latest) == 0)

    @cached_property
    def fluid_known(self) -> Column:
        """Whether `Seam.fluid_mass` gives a figure."""
        silent = SAID_BITS["drained"] | SAID_BITS["unlike"] | SAID_BITS["not_tank"]
        return np.asarray(((self.given.mass_g | self.given.volume_cm3) != 0) & ((self.given.said & silent) == 0))

    def fluid_below(self, limit: Decimal | None) -> Column:
        """Whether the fluid is known and, by volume at the heaviest and by mass, less than so many kg."""
        if not limit:
            return np.zeros(len(self.given), bool)
        by_mass = self.given.mass_g <= _below(limit)
        return np.asarray(self.fluid_known & by_mass & (self.given.volume_cm3 <= _below(limit, over=self.heavy)))


class ColumnSeam:
    """What `Seam.columns` and `Seam.capacitor_size` do, for columns: the same law or none, the same handling book.

    Each method gives the places of its values in `COLUMN_VALUES`, those of `kind` and `handling_kind` in the columns of
    the table. All figures come from the law and the handling book of the day.
    """

    def __init__(self, law: LawDay | None, house: LawDay) -> None:
        self.law, self.house = law, house
        cutoff = law.day("cutoff") if law else None
        self.cutoff = cutoff.toordinal() if cutoff else 0
        marker_year = int(house.number("marker_year"))
        self.first_new = date(marker_year + 1, 1, 1).toordinal() if marker_year < MAXYEAR else MOST_OF["earliest"] + 1
        self.heavy, self.lightest = house.number("heavy_density"), house.number("cautious_density")
        self.kinds = self._kind_places(law, "presumption") if law else None
        self.handling_kinds = self._kind_places(house, "band")
        listed = house.tables["band"].table.columns.get("kind", ())
        self.sealed_can = listed.index("sealed_can") if "sealed_can" in listed else 0
        self.other = listed.index("other") if "other" in listed else -1
        self.column: dict[str, Callable[[Raw], Column]] = {
            "kind": lambda raw: self.kinds[raw.given.kind],  # type: ignore[index]
            "handling_kind": self._handling_kind,
            "mounting": lambda raw: _where(
                raw.on_pole & (raw.given.kind == TRANSFORMER), "mounting", "pole_or_pad", "other"
            ),
            "fluid": lambda raw: raw.liquid,
            "amount": self._amount,
            "built": self._built,
            "maker_mark": lambda raw: self._maker_mark(raw, law),
            "handling_mark": lambda raw: self._maker_mark(raw, house),
            "named": self._named,
            "liquid": self._liquid,
            "age": self._age,
            "known": lambda raw: _where(raw.says("nothing_known"), "known", "nothing", "something"),
            "litres": self._litres,
            "fluid_weight": self._fluid_weight,
            "volume": self._volume,
            "weight": self._weight,
            "voltage": self._voltage,
        }

    def values(self, columns: Columns, names: Iterable[str]) -> dict[str, Column]:
        """The values of these columns of tables for each row, as places."""
        raw = Raw(columns, self.heavy)
        return {name: self.column[name](raw) for name in names}

    def _kind_places(self, book: LawDay, table: str) -> Column:
        """Kind of unit to the place of its kind in a table, which must name it where it asks kinds at all."""
        listed = book.tables[table].table.columns.get("kind")
        return np.array([listed.index(book.book.kinds[str(kind)]) if listed else 0 for kind in WORDS["kind"]], np.int8)

    def _handling_kind(self, raw: Raw) -> Column:
        found = self.handling_kinds[raw.given.kind]
        sealed = raw.says("sealed")
        return np.where(sealed & (found == self.other), np.int8(self.sealed_can), found) if sealed.any() else found

    def _amount(self, raw: Raw) -> Column:
        limit = self.law.numbers.get("small_transformer_fluid") if self.law else None
        return _where(raw.fluid_below(limit), "amount", "small", "not_small")

    def _built(self, raw: Raw) -> Column:
        """`Span.era`: before, where the whole span lies before; after; else it touches, or is unknown."""
        if not self.cutoff:
            return raw.rows(_at("built", "unknown"))
        found = _where(raw.given.earliest > self.cutoff, "built", "after", "touches_cutoff")
        found[(raw.given.latest != 0) & (raw.given.latest < self.cutoff)] = _at("built", "before")
        found[raw.undated] = _at("built", "unknown")
        return found

    def _maker_mark(self, raw: Raw, by: LawDay | None) -> Column:
        """`Seam.maker_mark_counts`, by the figures of the law or of the handling book."""
        first = by.day("mark_from") if by else None
        found = raw.rows(_at("maker_mark", "none"))
        marked = (raw.given.marks & BITS["maker_no_pcbs"]) != 0
        if by is None or first is None or not marked.any():
            return found
        marked &= raw.capacitor & ~raw.says("unlike") & (raw.undated | (raw.given.earliest >= first.toordinal()))
        large = raw.fluid_known | (raw.given.body_cm3 > _within(by.numbers["capacitor_volume_high"], 1))
        low = raw.given.volts <= _below(by.numbers["high_voltage"], 1)
        counts = raw.fluid_below(by.numbers["small_capacitor_fluid"]) | np.where(raw.given.volts != 0, low, ~large)
        found[marked & counts] = _at("maker_mark", "valid")
        return found

    def _named(self, raw: Raw) -> Column:
        named = (
            (raw.given.plate == PLATE_PCB) | (raw.given.fluid == ASKAREL) | ((raw.given.marks & BITS["pcb_mark"]) != 0)
        )
        return _where(named | raw.says("sinks"), "named", "yes", "no")

    def _liquid(self, raw: Raw) -> Column:
        """Like oil: mineral, or unknown on a pole or pad or in a unit that breathes. Else as the fluid, whose places
        are those of this column."""
        breathes = (raw.given.construction == CONSERVATOR) & ~raw.says("unlike")
        like_oil = (raw.liquid == _at("fluid", "unknown")) & (raw.on_pole | breathes)
        return np.where(like_oil, np.int8(_at("liquid", "like_oil")), raw.liquid)

    def _age(self, raw: Raw) -> Column:
        return _where((raw.given.earliest >= self.first_new) & ~raw.says("changed_blindly"), "age", "new", "old")

    def _litres(self, raw: Raw) -> Column:
        """`Seam.litres`: the most that the fluid can be, by volume or by mass; capacitors of a lot together."""
        small, inventory = [self.law.numbers.get(name) if self.law else None for name in LITRES]
        found = raw.rows(_at("litres", "unknown"))
        if small is None or inventory is None:
            return found
        items = np.where(raw.capacitor, np.maximum(raw.given.items, 1), 1)

        def within(limit: Decimal) -> Column:
            by_mass = raw.given.mass_g <= _within(limit, times=self.lightest) // items
            return by_mass & (raw.given.volume_cm3 <= _within(limit) // items)

        known = _where(within(inventory), "litres", "up_to_inventory", "over_inventory")
        known[within(small)] = _at("litres", "up_to_small")
        return np.where(raw.fluid_known, known, found)

    def _fluid_weight(self, raw: Raw) -> Column:
        found = _where(raw.fluid_below(self._number("small_capacitor_fluid")), "fluid_weight", "under", "at_or_over")
        found[~raw.fluid_known] = _at("fluid_weight", "unknown")
        return found

    def _volume(self, raw: Raw) -> Column:
        low, high = self._number("capacitor_volume_low"), self._number("capacitor_volume_high")
        found = _where(raw.given.body_cm3 > _within(high, 1), "volume", "over_high", "between")
        found[raw.given.body_cm3 <= _below(low, 1)] = _at("volume", "under_low")
        found[raw.given.body_cm3 == 0] = _at("volume", "unknown")
        return found

    def _weight(self, raw: Raw) -> Column:
        found = _where(raw.given.gross_g <= _below(self._number("capacitor_weight")), "weight", "under", "at_or_over")
        found[raw.given.gross_g == 0] = _at("weight", "unknown")
        return found

    def _voltage(self, raw: Raw) -> Column:
        found = _where(raw.given.volts <= _below(self._number("high_voltage"), 1), "voltage", "low", "high")
        found[raw.given.volts == 0] = _at("voltage", "unknown")
        return found

    def _number(self, name: str) -> Decimal | None:
        return self.law.numbers[name] if self.law else None

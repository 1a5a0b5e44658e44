"""Columns of raw facts to the column values of the tables: what `Seam` does for one unit, for many at once.

Every figure is one of the law or of the handling book of the day. Amounts are compared exactly: a limit becomes the
greatest whole amount on its near side.
"""

from collections.abc import Callable, Iterable
from datetime import MAXYEAR, date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property, lru_cache
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
    return _put(_at(column, yes), condition, _at(column, no))


def _put(place: int, condition: Column, instead: Column | int) -> Column:
    """A place where the condition holds, what stood there elsewhere: in sums, which are quicker than a choice."""
    return np.asarray(condition.view(np.int8) * np.subtract(place, instead, dtype=np.int8) + instead, np.int8)


@lru_cache
def _below(limit: Decimal | None, many: int = MILLI, over: Decimal | None = None) -> int:
    """The greatest whole amount that is less than a limit; `over`: each of its units counts as so many."""
    return -1 if limit is None else min(ceil(Fraction(limit) * many / Fraction(over or 1)) - 1, MOST)


@lru_cache
def _within(limit: Decimal | None, many: int = MILLI, times: Decimal | None = None) -> int:
    """The greatest whole amount that is not more than a limit; `times`: so many of its units count as one."""
    return -1 if limit is None else min(floor(Fraction(limit) * many * Fraction(times or 1)), MOST)


class Raw:
    """Raw columns with what several column values ask of them, worked out once."""

    def __init__(self, columns: Columns, heavy: Decimal) -> None:
        self.given, self.heavy = columns, heavy
        self.anything_said = bool(columns.said.any())
        self.nowhere = np.zeros(len(columns), bool)
        self.likes = ~self.says("unlike")

    def says(self, *names: str) -> Column:
        """Whether one of these bits is set."""
        if not self.anything_said:
            return self.nowhere
        return np.asarray((self.given.said & np.uint8(sum(SAID_BITS[name] for name in names))) != 0)

    def rows(self, value: int) -> Column:
        """One place in every row."""
        return np.full(len(self.given), value, np.int8)

    @cached_property
    def liquid(self) -> Column:
        """The places of the column `fluid`."""
        other, unknown = _at("fluid", "other"), _at("fluid", "unknown")
        found = _put(other, self.given.plate == PLATE_NOT_PCB, FLUID.take(self.given.fluid))
        if self.anything_said:
            found = _put(other, self.says("sinks"), _put(unknown, self.says("unlike"), found))
        return found

    @cached_property
    def on_pole(self) -> Column:
        return np.asarray(IS_POLE_OR_PAD.take(self.given.mounting) & self.likes)

    @cached_property
    def capacitor(self) -> Column:
        return IS_CAPACITOR.take(self.given.kind)

    @cached_property
    def undated(self) -> Column:
        """Nothing is known of when it was built; a span that is open on one side is known."""
        return np.asarray((self.given.earliest | self.given.latest) == 0)

    @cached_property
    def fluid_known(self) -> Column:
        """Whether `Seam.fluid_mass` gives a figure."""
        silent = self.says("drained", "unlike", "not_tank")
        return np.asarray(((self.given.mass_g | self.given.volume_cm3) != 0) & ~silent)

    def fluid_below(self, limit: Decimal | None) -> Column:
        """Whether the fluid is known and, by volume at the heaviest and by mass, less than so many kg."""
        if not limit:
            return self.nowhere
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
        self.first_new = (
            date.min.replace(year=marker_year + 1).toordinal() if marker_year < MAXYEAR else MOST_OF["earliest"] + 1
        )
        self.heavy, self.lightest = house.number("heavy_density"), house.number("cautious_density")
        self.kinds = self._kind_places(law, "presumption") if law else None
        self.handling_kinds = self._kind_places(house, "band")
        listed = house.tables["band"].table.columns.get("kind", ())
        self.sealed_can = listed.index("sealed_can") if "sealed_can" in listed else 0
        self.other = listed.index("other") if "other" in listed else -1
        self.column: dict[str, Callable[[Raw], Column]] = {
            "kind": lambda raw: self.kinds.take(raw.given.kind),  # type: ignore[union-attr]
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
        found = self.handling_kinds.take(raw.given.kind)
        return _put(self.sealed_can, raw.says("sealed") & (found == self.other), found) if raw.anything_said else found

    def _amount(self, raw: Raw) -> Column:
        limit = self.law.numbers.get("small_transformer_fluid") if self.law else None
        return _where(raw.fluid_below(limit), "amount", "small", "not_small")

    def _built(self, raw: Raw) -> Column:
        """`Span.era`: before, where the whole span lies before; after; else it touches, or is unknown."""
        if not self.cutoff:
            return raw.rows(_at("built", "unknown"))
        found = _where(raw.given.earliest > self.cutoff, "built", "after", "touches_cutoff")
        found = _put(_at("built", "before"), (raw.given.latest != 0) & (raw.given.latest < self.cutoff), found)
        return _put(_at("built", "unknown"), raw.undated, found)

    def _maker_mark(self, raw: Raw, by: LawDay | None) -> Column:
        """`Seam.maker_mark_counts`, by the figures of the law or of the handling book."""
        first = by.day("mark_from") if by else None
        marked = (raw.given.marks & np.uint8(BITS["maker_no_pcbs"])) != 0
        if by is None or first is None or not marked.any():
            return raw.rows(_at("maker_mark", "none"))
        marked &= raw.capacitor & ~raw.says("unlike") & (raw.undated | (raw.given.earliest >= first.toordinal()))
        large = raw.fluid_known | (raw.given.body_cm3 > _within(by.numbers["capacitor_volume_high"], 1))
        low = raw.given.volts <= _below(by.numbers["high_voltage"], 1)
        known = raw.given.volts != 0
        counts = raw.fluid_below(by.numbers["small_capacitor_fluid"]) | (known & low) | ~(known | large)
        return _where(marked & counts, "maker_mark", "valid", "none")

    def _named(self, raw: Raw) -> Column:
        named = (
            (raw.given.plate == PLATE_PCB)
            | (raw.given.fluid == ASKAREL)
            | ((raw.given.marks & np.uint8(BITS["pcb_mark"])) != 0)
        )
        return _where(named | raw.says("sinks"), "named", "yes", "no")

    def _liquid(self, raw: Raw) -> Column:
        """Like oil: mineral, or unknown on a pole or pad or in a unit that breathes. Else as the fluid, whose places
        are those of this column."""
        breathes = (raw.given.construction == CONSERVATOR) & ~raw.says("unlike")
        like_oil = (raw.liquid == _at("fluid", "unknown")) & (raw.on_pole | breathes)
        return _put(_at("liquid", "like_oil"), like_oil, raw.liquid)

    def _age(self, raw: Raw) -> Column:
        return _where((raw.given.earliest >= self.first_new) & ~raw.says("changed_blindly"), "age", "new", "old")

    def _litres(self, raw: Raw) -> Column:
        """`Seam.litres`: the most that the fluid can be, by volume or by mass; capacitors of a lot together."""
        small, inventory = [self.law.numbers.get(name) if self.law else None for name in LITRES]
        if small is None or inventory is None:
            return raw.rows(_at("litres", "unknown"))
        items = np.where(raw.capacitor, np.maximum(raw.given.items, 1), 1)

        def within(limit: Decimal) -> Column:
            by_mass = raw.given.mass_g <= _within(limit, times=self.lightest) // items
            return by_mass & (raw.given.volume_cm3 <= _within(limit) // items)

        known = _where(within(inventory), "litres", "up_to_inventory", "over_inventory")
        known = _put(_at("litres", "up_to_small"), within(small), known)
        return _put(_at("litres", "unknown"), ~raw.fluid_known, known)

    def _fluid_weight(self, raw: Raw) -> Column:
        found = _where(raw.fluid_below(self._number("small_capacitor_fluid")), "fluid_weight", "under", "at_or_over")
        return _put(_at("fluid_weight", "unknown"), ~raw.fluid_known, found)

    def _volume(self, raw: Raw) -> Column:
        low, high = self._number("capacitor_volume_low"), self._number("capacitor_volume_high")
        found = _where(raw.given.body_cm3 > _within(high, 1), "volume", "over_high", "between")
        found = _put(_at("volume", "under_low"), raw.given.body_cm3 <= _below(low, 1), found)
        return _put(_at("volume", "unknown"), raw.given.body_cm3 == 0, found)

    def _weight(self, raw: Raw) -> Column:
        found = _where(raw.given.gross_g <= _below(self._number("capacitor_weight")), "weight", "under", "at_or_over")
        return _put(_at("weight", "unknown"), raw.given.gross_g == 0, found)

    def _voltage(self, raw: Raw) -> Column:
        found = _where(raw.given.volts <= _below(self._number("high_voltage"), 1), "voltage", "low", "high")
        return _put(_at("voltage", "unknown"), raw.given.volts == 0, found)

    def _number(self, name: str) -> Decimal | None:
        return self.law.numbers[name] if self.law else None

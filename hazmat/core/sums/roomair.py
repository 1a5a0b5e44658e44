"""Air of a room or a tank: what a source makes of it while air is changed, how long it takes to clear, its oxygen.

For planning air alone: it clears nobody to go in.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

LITRES_IN_M3 = MG_IN_G = MICRO = Decimal(1000)
"""Litres in a cubic metre, milligrams in a gram, micrograms in a milligram. Source: definition."""
MINUTES = Decimal(60)
"""Minutes in an hour. Source: definition."""
OF_SUBSTANCE = {"pcb": "pcb", "tcb": "tcb"}
"""Substances whose limits in air are held. Any other one is held against none."""


class Room(NamedTuple):
    """A room while a source runs.

    Its m3; `air`: m3/min that truly mix; `source`: mg/min; `back`: m3/min out of which a pool takes up again what the
    air holds; `full`: mg/m3 above which air holds no more, None where nobody said.
    """

    m3: Decimal
    air: Decimal
    source: Decimal
    back: Decimal
    full: Decimal | None

    @property
    def rate(self) -> Decimal:
        """How fast the level nears its end, a minute."""
        return (self.air + self.back) / self.m3

    def capped(self, mg_m3: Decimal) -> Decimal:
        """A level, or saturation where that is less."""
        return mg_m3 if self.full is None else min(mg_m3, self.full)

    @property
    def steady(self) -> Decimal:
        """The level in mg/m3 that it ends at. Raises CannotWork where no air is changed and nothing else stops it."""
        if not self.source:
            return self.source
        if self.rate:
            return self.capped(self.source / (self.rate * self.m3))
        if self.full is None:
            raise CannotWork("saturated", "no_air_no_end")
        return self.full

    def level(self, start: Decimal, minutes: Decimal) -> Decimal:
        """The level in mg/m3 after so many minutes, from one that stood there."""
        if not self.rate:
            return self.capped(start + self.source * minutes / self.m3)
        end = self.source / (self.rate * self.m3)
        return self.capped(end + (start - end) * (-self.rate * minutes).exp())


def room_air(given: Given, fixed: Fixed) -> Worked:
    """What stands in the air of a room. Source: mg/min or g/min, litres that fill in `minutes`, or an open pool in m2.

    `room` in m3, `changes` an hour or `flow` in m3/min, `mixing`: share of that air that truly mixes.
    """
    room, unsaid = _room(given, fixed)
    start, full = given["start"] or Decimal(0), room.full
    if full is not None and start > full:
        raise CannotWork("start", "more_than_full")
    steady = room.steady
    values: dict[str, Value] = {"steady": steady, "steady_ug": steady * MICRO}
    if given["minutes"] is not None:
        level = room.level(start, given["minutes"])
        values |= {"level": level, "level_ug": level * MICRO}
        values |= _clearing("clear_level", level, given["clear_to"], room)
    values |= _clearing("clear_steady", steady, given["clear_to"], room)
    if room.rate:
        values["near"] = -(1 - fixed.number("near_steady")).ln() / room.rate
    if given["exposed"] is not None:
        worst = max(steady, start)
        values["shift_ug"] = worst * MICRO * given["exposed"] / fixed.number("shift_minutes")
    return Worked(values, tuple(_said(given, room, unsaid)), of=OF_SUBSTANCE.get(given["substance"] or "", ""))


def _room(given: Given, fixed: Fixed) -> tuple[Room, bool]:
    """The room with its source, and whether nobody said how well its air mixes. Raises CannotWork."""
    if (given["changes"] is None) == (given["flow"] is None):
        raise CannotWork("changes", "changes_or_flow")
    flow = given["flow"] if given["flow"] is not None else given["changes"] * given["room"] / MINUTES
    mixing = given["mixing"] if given["mixing"] is not None else fixed.number("mixing_least")
    source, back = _source(given)
    return Room(given["room"], flow * mixing, source, back, given["saturated"]), given["mixing"] is None


def _source(given: Given) -> tuple[Decimal, Decimal]:
    """mg/min of the source, and m3/min that it takes up again. Raises CannotWork."""
    named = [key for key in ("mg_min", "g_min", "litres", "pool") if given[key] is not None]
    if len(named) != 1:
        raise CannotWork(named[1] if named else "mg_min", "one_source")
    if named == ["mg_min"]:
        return given["mg_min"], Decimal(0)
    if named == ["g_min"]:
        return given["g_min"] * MG_IN_G, Decimal(0)
    if given["saturated"] is None:
        raise CannotWork("saturated", "saturated_needed")
    if named == ["pool"]:
        if given["transfer"] is None:
            raise CannotWork("transfer", "transfer_needed")
        back = given["transfer"] / MINUTES * given["pool"]
        return back * given["saturated"], back
    if not given["minutes"]:
        raise CannotWork("minutes", "filling_minutes")
    return given["litres"] / LITRES_IN_M3 / given["minutes"] * given["saturated"], Decimal(0)


def _clearing(line: str, level: Decimal, clear_to: Decimal | None, room: Room) -> dict[str, Value]:
    """Minutes until the level has fallen so far, once the source is gone; nothing where no air is changed."""
    if clear_to is None or not room.air:
        return {}
    return {line: max(Decimal(0), (level / clear_to).ln() * room.m3 / room.air) if level else Decimal(0)}


def _said(given: Given, room: Room, unsaid: bool) -> Iterator[Note]:
    if unsaid:
        yield Note("mixing_unsaid")
    if not room.air:
        yield Note("no_air")
    if room.full is not None and room.steady == room.full:
        yield Note("saturated_air")
    if given["litres"] is not None:
        yield Note("filling_splashes")


def oxygen(given: Given, fixed: Fixed) -> Worked:
    """What a reading of oxygen in per cent of the air says of a tank or a room."""
    read = given["oxygen"]
    if read < fixed.number("oxygen_least"):
        return Worked({"reading": "deficient"}, (Note("no_entry_deficient"),))
    if read > fixed.number("oxygen_most"):
        return Worked({"reading": "enriched"}, (Note("no_entry_enriched"),))
    return Worked({"reading": "between"}, (Note("oxygen_is_one_thing"),))


WORK: dict[str, Work] = {"room_air": room_air, "oxygen": oxygen}

"""The standing of drums: folded afresh from what was poured, how its sources stand, and where it went."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from disposal.core.drumfold import Entered, Pour, amount_words, contents, level_after, whereabouts
from disposal.core.drumnow import DrumKind, DrumNow, MoveNow, Source
from disposal.core.mixture import worst
from disposal.models import Bay, Drum, DrumStanding, Item, Move, Proof, Put, Received, Signature
from disposal.queries.afresh import Afresh, placed
from disposal.queries.bays import bays
from disposal.queries.carried import carried, on_loads
from disposal.queries.flows import as_pour, downstream, moves_of, space_names, upstream
from hazmat import rulebooks
from hazmat.book.canonical import instant
from hazmat.book.record import Record
from hazmat.book.standing import Moment
from hazmat.core.law import LawDay
from hazmat.core.unitnow import UnitNow
from hazmat.models import Particulars, Unit, UnitStanding
from hazmat.queries.units import UNITS
from hazmat.queries.units import unpacked as unit_of

LOADED = (Item, Received, Proof)
"""Records of a load that name one drum."""


KEPT_DAYS = 16
"""How many books are kept as at one day each. Source: our own choice."""


@lru_cache(KEPT_DAYS)
def law_on(name: str, on: date) -> LawDay | None:
    """A law as on one day, None where none of that name is held."""
    law = rulebooks.law(name)
    return LawDay(law, on) if law else None


@dataclass(frozen=True)
class Network:
    """What was poured into or out of some drums, and into whatever it came out of; units as they are known."""

    moves: Sequence[tuple[Move, Moment]]
    pours: Sequence[Pour]
    units: Mapping[str, UnitNow]


@dataclass(frozen=True)
class Around:
    """All else that drums are folded from: codes of drums, the zone of the yard, and what is within what."""

    flows: Network
    codes: Mapping[UUID, str]
    zone: ZoneInfo
    within: Mapping[str, Mapping[str, Entered]]


class DrumFold(Afresh[DrumNow]):
    """The fold of drums and slop cans."""

    name = "disposal.drum"
    thing = Drum
    table = DrumStanding
    value = DrumNow

    def touched(self, records: Sequence[Record]) -> list[UUID]:
        """The drums that these records tell of, and those that hold oil of units or drums that they tell of."""
        fresh = {record.pk for record in records if isinstance(record, Unit)}
        units = [unit for unit in UNITS.touched(records) if unit not in fresh]
        moves = [record for record in records if isinstance(record, Move)]
        ends = {end for move in moves for end in (move.from_drum_id, move.into_drum_id) if end}
        found = downstream(units, ends) if units or ends else set()
        for record in records:
            found |= _named(record)
        return sorted(found)

    def folded(self, things: Sequence[UUID], at: int | None, when: Moment | None) -> dict[UUID, DrumNow]:
        """The standing of each drum from the tables."""
        begun = placed(Drum, at, when, pk__in=things)
        found: dict[UUID, DrumNow] = {}
        for yard in dict.fromkeys(drum.yard_id for drum, _ in begun):
            mine = [one for one in begun if one[0].yard_id == yard]
            found |= _folded(yard, mine, at, when)
        return found

    def columns(self, value: DrumNow) -> dict[str, Any]:
        """The helping columns of a kept standing."""
        return {
            "drum": value.drum, "yard": value.yard, "logged": value.logged, "code": value.code, "kind": value.kind,
            "klass": value.klass, "care": value.care, "known": value.known, "place": value.place,
            "date": value.date or None,
        }  # fmt: skip

    def called(self, columns: Any) -> str:
        """`drum K7M4PX`."""
        return f"drum {columns['code']}"


DRUMS = DrumFold()


def _named(record: Record) -> set[UUID]:
    """The drums that a record tells of without any oil moving."""
    if isinstance(record, Drum):
        return {record.pk}
    if isinstance(record, (Put, *LOADED)):
        return {record.drum_id} if record.drum_id else set()
    if isinstance(record, Signature):
        return on_loads([record.load_id])
    if isinstance(record, Bay) and record.replaces_id:
        rows = Put.objects.filter(yard=record.yard_id, drum__isnull=False)
        return set(rows.values_list("drum", flat=True))
    if isinstance(record, Particulars) and record.replaces_id:
        return set(Drum.objects.filter(yard=record.yard_id).values_list("pk", flat=True))
    return set()


def _folded(
    yard: UUID, begun: Sequence[tuple[Drum, Moment]], at: int | None, when: Moment | None
) -> dict[UUID, DrumNow]:
    """Drums of one yard."""
    ids = [drum.pk for drum, _ in begun]
    around = _around(yard, ids, [drum.for_unit_id for drum, _ in begun if drum.for_unit_id], at, when)
    loads, bays = carried(ids, at, when), _bays(yard, ids, at, when)
    return {drum.pk: _now(drum, moment, around, loads.get(drum.pk, []), bays.get(drum.pk)) for drum, moment in begun}


def network(drums: Collection[UUID], at: int | None, when: Moment | None, units: Collection[UUID] = ()) -> Network:
    """Everything that was poured into or out of these drums and whatever is upstream of them; `units`: more of them."""
    moves = moves_of(upstream(drums), at, when)
    wanted = {move.unit_id for move, _ in moves if move.unit_id}.union(units)
    known = {str(unit): value for unit, value in _units(wanted, at, when).items()}
    spaces = space_names(move for move, _ in moves)
    return Network(moves, [as_pour(move, moment, spaces, known) for move, moment in moves], known)


def _around(yard: UUID, drums: Sequence[UUID], own: Sequence[UUID], at: int | None, when: Moment | None) -> Around:
    flows = network(drums, at, when, own)
    ends = {end for move, _ in flows.moves for end in (move.from_drum_id, move.into_drum_id) if end}
    codes = dict(Drum.objects.filter(pk__in=ends).values_list("pk", "code"))
    named = placed(Particulars, at, when, yard=yard)
    return Around(flows, codes, ZoneInfo(named[-1][0].zone), contents(flows.pours))


def _units(wanted: set[UUID], at: int | None, when: Moment | None) -> dict[UUID, UnitNow]:
    """Units as they are known: inside an act by their kept standing, which is up to date; else from their records."""
    if when is None:
        return UNITS.fold(wanted, at)
    rows = UnitStanding.objects.filter(unit__in=wanted).values_list("unit", "body")
    return {unit: unit_of(body) for unit, body in rows}


def _bays(yard: UUID, drums: Sequence[UUID], at: int | None, when: Moment | None) -> dict[UUID, tuple[str, Moment]]:
    """Into which bay each drum was put last, and when; a bay goes by the name that it has now."""
    puts = placed(Put, at, when, drum__in=drums)
    names = {one.bay: one.name for one in bays(yard, at, when)} if puts else {}
    return {put.drum_id: (names[put.bay_id], moment) for put, moment in puts if put.drum_id}


def _now(drum: Drum, moment: Moment, around: Around, loads: Sequence[Any], bay: Any) -> DrumNow:
    """One drum from all that is around it."""
    key, made = str(drum.pk), instant(moment.happened_at)
    kind: DrumKind = "slop_can" if drum.kind == "slop_can" else "drum"
    mine = [(move, when) for move, when in around.flows.moves if drum.pk in (move.from_drum_id, move.into_drum_id)]
    sources = sources_of(around.within.get(key, {}), around.flows.units)
    litres, kg = level_after(around.flows.pours, key)
    where = whereabouts(one for one, _ in loads)
    last = max((when for move, when in mine if move.into_drum_id == drum.pk), default=moment)
    law_day = last.happened_at.astimezone(around.zone).date()
    found = worst(sources, lambda name: law_on(name, law_day))
    day, dated_by = _date(sources, around.zone)
    moments = [moment, *(when for _, when in mine), *(when for _, when in loads), *([bay[1]] if bay else [])]
    units = [around.flows.units[source.unit] for source in sources]
    return DrumNow(
        drum=key, yard=str(drum.yard_id), code=drum.code, kind=kind, capacity_l=drum.capacity_l, made_at=made,
        logged=str(moment.seq), holder=str(drum.holder_id), un_mark=drum.un_mark,
        for_unit=around.flows.units[str(drum.for_unit_id)].tag if drum.for_unit_id else "",
        seq=str(max([*(one.seq for one in moments), *(int(unit.seq) for unit in units)])),
        happened_at=max([*(instant(one.happened_at) for one in moments), *(unit.happened_at for unit in units)]),
        litres=amount_words(litres.exact), kg=amount_words(kg.exact),
        between_l=(amount_words(litres.low), amount_words(litres.high)),
        between_kg=(amount_words(kg.low), amount_words(kg.high)),
        klass=found.klass, care=found.care, known=found.known, rulebook=found.rulebook, common=found.common,
        date=day, dated_by=dated_by, sources=sources,
        moves=tuple(_move(drum.pk, move, when, around) for move, when in mine),
        bay=bay[0] if bay and not _left(where.away, instant(bay[1].happened_at)) else "",
        place=where.place, load=where.load, certificate=where.certificate, away=where.away, lost=where.lost,
    )  # fmt: skip


def _left(away: Sequence[tuple[str, str]], put_at: str) -> bool:
    """Whether it was signed away after it was put there."""
    return any(start >= put_at for start, _ in away)


def sources_of(within: Mapping[str, Entered], units: Mapping[str, UnitNow]) -> tuple[Source, ...]:
    """The sources of a drum, the one whose oil came first standing first."""
    found = []
    for unit, entered in within.items():
        now = units[unit]
        oil = now.oil_of(entered.spaces)
        found.append(Source(
            unit=unit, tag=now.tag, klass=oil.klass, care=oil.care, known=oil.known, rulebook=oil.rulebook,
            first_in=entered.first_in, drained_at=entered.drained_at, unit_kind=str(now.line.get("kind", "other")),
            space=", ".join(entered.spaces), litres=amount_words(entered.straight),
            date=str(now.line.get("decided_waste") or ""),
        ))  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.first_in, one.tag)))


def _date(sources: Sequence[Source], zone: ZoneInfo) -> tuple[str, Any]:
    """The oldest day of the sources, and what dates the drum.

    Oil that was drained is waste: a day of decision that lies after that gives way to the day of draining.
    """
    if not sources:
        return "", ""
    drained = [local_day(one.drained_at, zone) for one in sources]
    days = [min(one.date or day, day) for one, day in zip(sources, drained, strict=True)]
    by_law = all(one.date and one.date <= day for one, day in zip(sources, drained, strict=True))
    return min(days), "law" if by_law else "poured"


def local_day(at: str, zone: ZoneInfo) -> str:
    """The day of an instant in a zone."""
    return datetime.fromisoformat(at).astimezone(zone).date().isoformat()


def _move(drum: UUID, move: Move, when: Moment, around: Around) -> MoveNow:
    came = move.into_drum_id == drum
    unit, end = (move.unit_id, move.from_drum_id) if came else (None, move.into_drum_id)
    other = around.flows.units[str(unit)].tag if unit else around.codes[end] if end else ""
    return MoveNow(
        id=str(move.pk), way="in" if came else "out", other_kind="unit" if unit else "drum" if end else "none",
        other=other, litres=move.litres, kg=move.kg, tool=move.tool, at=instant(when.happened_at),
        all_out=move.all_out, note=move.note, celsius=move.celsius,
    )  # fmt: skip


def drum_now(yard: UUID, code: str) -> DrumNow | None:
    """The drum of this code in this yard as it stands now, None where there is none."""
    body = DrumStanding.objects.filter(yard=yard, code=code).values_list("body", flat=True).first()
    return DRUMS.unpacked(body) if body is not None else None


def listed(yard: UUID, *, below: int | None = None, size: int = 50, **wanted: Any) -> list[DrumStanding]:
    """Drums of a yard, the newest first, by key: labelled before the entry `below`; one more than `size` if any."""
    found = DrumStanding.objects.filter(yard=yard, **wanted)
    if below is not None:
        found = found.filter(logged__lt=below)
    return list(found.order_by("-logged")[: size + 1])


def drums_of(unit: UUID) -> list[DrumNow]:
    """The drums that hold oil of a unit, or ever did, the newest first."""
    rows = DrumStanding.objects.filter(pk__in=downstream([unit])).order_by("-logged")
    return [DRUMS.unpacked(body) for body in rows.values_list("body", flat=True)]

"""What was poured between units and drums, as the tables hold it: what it reaches, and the pours themselves."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any
from uuid import UUID

from disposal.core.drumfold import Pour
from disposal.models import Move
from disposal.queries.afresh import placed
from hazmat.book.canonical import instant
from hazmat.book.standing import Moment
from hazmat.core.unitnow import UnitNow
from hazmat.models import Space


def downstream(units: Collection[UUID] = (), drums: Collection[UUID] = ()) -> set[UUID]:
    """The drums that ever got oil of these units or out of these drums, through other drums as well; and these."""
    found = set(drums)
    if units:
        found |= _ends(unit__in=units)
    fresh = set(found)
    while fresh:
        fresh = _ends(from_drum__in=fresh) - found
        found |= fresh
    return found


def _ends(**wanted: Any) -> set[UUID]:
    return set(Move.objects.filter(into_drum__isnull=False, **wanted).values_list("into_drum", flat=True))


def upstream(drums: Collection[UUID]) -> set[UUID]:
    """The drums out of which oil ever came into these, through other drums as well; and these."""
    found = fresh = set(drums)
    while fresh:
        rows = Move.objects.filter(into_drum__in=fresh, from_drum__isnull=False)
        fresh = set(rows.values_list("from_drum", flat=True)) - found
        found = found | fresh
    return found


def moves_of(drums: Collection[UUID], at: int | None, when: Moment | None) -> list[tuple[Move, Moment]]:
    """Every move into or out of these drums, in order of happening."""
    into = placed(Move, at, when, into_drum__in=drums)
    out = placed(Move, at, when, from_drum__in=drums)
    each = {row.pk: (row, moment) for row, moment in (*into, *out)}
    return sorted(each.values(), key=lambda one: (*one[1].place, str(one[0].pk)))


def space_names(moves: Iterable[Move]) -> dict[UUID, str]:
    """What the oil spaces are called out of which these moves came."""
    wanted = {move.space_id for move in moves if move.space_id}
    return dict(Space.objects.filter(pk__in=wanted).values_list("pk", "name"))


def as_pour(move: Move, moment: Moment, spaces: Mapping[UUID, str], units: Mapping[str, UnitNow]) -> Pour:
    """A move as the fold sees it, with the density of its own unit."""
    unit = str(move.unit_id or "")
    line = units[unit].line if unit in units else {}
    return Pour(
        id=str(move.pk), at=instant(moment.happened_at), seq=moment.seq, unit=unit,
        space=spaces.get(move.space_id, "") if move.space_id else "", from_drum=str(move.from_drum_id or ""),
        into_drum=str(move.into_drum_id or ""), litres=move.litres, kg=move.kg,
        density=str(line.get("density_kg_l") or ""), all_out=move.all_out,
        note=move.note, celsius=move.celsius,
    )  # fmt: skip

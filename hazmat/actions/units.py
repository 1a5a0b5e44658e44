"""Units: logging one, correcting it, proving it dead, adding pictures."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from hazmat.actions.codes import fresh_code, printed_tag
from hazmat.book import files
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.facts import TANK
from hazmat.core.lookin import LookIn
from hazmat.core.unitnow import UnitNow, with_tests
from hazmat.edge.one import Slip, answer_data, judged
from hazmat.edge.pictures import Picture
from hazmat.edge.unsigned import unsigned
from hazmat.models import Assessment, Holder, Isolation, Look, Photograph, Space, Unit
from hazmat.queries.units import UNITS

OIL_SPACE = "oil_space"


@dataclass(frozen=True, kw_only=True)
class Kept:
    """A picture that is read, stripped and kept as files; where it was taken is personal."""

    sha256: str
    thumb: str
    shows: str
    width: int
    height: int
    taken_at: str = ""
    latitude: str = ""
    longitude: str = ""
    words: str = ""


def keep_picture(picture: Picture, shows: str, words: str = "") -> Kept:
    """Keep the files of a picture that was read; what an act takes of it."""
    return Kept(
        sha256=files.keep(picture.full), thumb=files.keep(picture.thumb), shows=shows, words=words,
        width=picture.width, height=picture.height, taken_at=picture.taken_at or "", latitude=picture.latitude or "",
        longitude=picture.longitude or "",
    )  # fmt: skip


@verb
def log_unit(order: Order, *, look: LookIn, place: str, pictures: Sequence[Kept] = (), tag: str = "") -> Receipt:
    """Log a unit with all that was seen and said, and judge it, in one act. `place`: the yard's own country code.

    `tag`: of a printed tag that was hung on it; else one is drawn. Raises Refused where that tag hangs on another unit.
    """
    with book(order, "log_unit") as act:
        code = printed_tag(order.yard, tag) if tag else fresh_code(order.yard, act.seq, "unit")
        unit = act.write(Unit(tag=code, arrival=look.arrival))
        write_spaces(act, unit.id, (TANK, *(space["name"] for space in look.line.get("spaces") or ())))
        write_look(act, unit.id, look, None)
        if look.proved:
            _write_isolation(act, unit.id, look.proved)
        write_assessment(act, unit.id, unit.tag, look.line, place)
        write_pictures(act, unit.id, pictures)
    return act.receipt


@verb
def correct_unit(order: Order, *, unit: UUID, based_on: UUID, look: LookIn, place: str) -> Receipt:
    """Write a new look that replaces the one that the form was filled from, and judge the unit again.

    Raises Refused where somebody else corrected it in the meantime: nothing of theirs is written over.
    """
    with book(order, "correct_unit") as act:
        now = current(order.yard, unit)
        if now.look != str(based_on):
            raise Refused("Somebody corrected this unit in the meantime; read what stands there now and correct that.")
        again = [one["name"] for one in look.line.get("spaces") or () if one["name"] in now.spaces_off]
        if again:
            raise Refused(f"“{again[0]}” was taken off and has a tag of its own; give the other one another name.")
        write_look(act, unit, look, based_on)
        write_assessment(act, unit, now.tag, now.with_rest(look.line), place, [one.test for one in now.counting], now)
    return act.receipt


@verb
def prove_dead(order: Order, *, unit: UUID, proved: dict[str, Any]) -> Receipt:
    """Write down whether the unit was proved dead, by whom and how."""
    with book(order, "prove_dead") as act:
        current(order.yard, unit)
        _write_isolation(act, unit, proved)
    return act.receipt


@verb
def add_photographs(order: Order, *, unit: UUID, pictures: Sequence[Kept]) -> Receipt:
    """Add pictures to a unit. Raises Refused where there is none."""
    with book(order, "add_photographs") as act:
        if not pictures:
            raise Refused("Choose at least one picture, then send it again.")
        current(order.yard, unit)
        write_pictures(act, unit, pictures)
    return act.receipt


def current(yard: UUID, unit: UUID) -> UnitNow:
    """The unit as it stands, under the lock of its yard. Raises Refused where the yard has no such unit."""
    now = UNITS.kept(unit)
    if now is None or now.yard != str(yard):
        raise Refused("This yard has no such unit; open it from the list of units.")
    return now


def write_spaces(act: Act, unit: UUID, names: Iterable[str]) -> None:
    """Write down oil spaces of a unit, each as a holder of oil; a name that stands there twice is one."""
    for name in dict.fromkeys(names):
        holder = act.write(Holder(kind=OIL_SPACE))
        act.write(Space(unit_id=unit, holder=holder, name=name))


def write_look(act: Act, unit: UUID, look: LookIn, replaces: UUID | None) -> None:
    """Write down what was seen and said of a unit; `replaces`: the look in whose place it stands."""
    record = Look(
        unit_id=unit, line=dict(look.line), sources=dict(look.sources), leak=look.leak, note=look.note,
        claims=dict(look.claims), seen=dict(look.seen), replaces_id=replaces,
    )  # fmt: skip
    act.write(record, aside=look.aside)


def _write_isolation(act: Act, unit: UUID, proved: Any) -> None:
    names = ("dead", "how", "detector_before", "detector_after", "back_feed", "earthed", "permit", "approach")
    told = {name: proved[name] for name in names if proved.get(name) is not None}
    act.write(Isolation(unit_id=unit, **told), aside={"proved_by": proved.get("proved_by", "")})


def write_assessment(
    act: Act, unit: UUID, tag: str, line: Any, place: str, results: Sequence[Mapping[str, Any]] = (),
    now: UnitNow | None = None,
) -> None:  # fmt: skip
    """Judge a unit by its line and the tests of its results, and write what it counts as until a release is signed.

    `now`: the unit before, None for a new one. Raises Refused where the line cannot stand.
    """
    on = law_day(act.order)
    today = max(on, law_day(act.order, act))
    try:
        found = judged(with_tests(line, results), tag, place, on, today)
        presumed = unsigned(found, line, now, tag, place, today)
    except Slip as slip:
        raise Refused(f"{slip.path}: {slip.says}") from None
    act.write(
        Assessment(
            unit_id=unit, rulebook=found.rulebook or "", edition=found.edition or "", on=found.on, klass=found.klass,
            basis=found.basis, band=found.band, care=found.care, good_until=found.good_until,
            answer=answer_data(found), presumed=presumed,
        )
    )  # fmt: skip


def law_day(order: Order, act: Act | None = None) -> date:
    """The day of the event in the yard's zone; with `act`, the day on which it is written down."""
    moment = act.recorded_at if act else order.happened_at
    return moment.astimezone(ZoneInfo(order.zone)).date()


def write_pictures(act: Act, unit: UUID | None, pictures: Sequence[Kept], spill: UUID | None = None) -> None:
    """Write down pictures of a unit or of a spill, and name their files in the entry."""
    for place, one in enumerate(pictures, 1):
        record = Photograph(
            unit_id=unit, spill_id=spill, sha256=one.sha256, thumb=one.thumb, shows=one.shows, width=one.width,
            height=one.height, taken_at=one.taken_at, words=one.words,
        )  # fmt: skip
        act.write(record, aside={"latitude": one.latitude, "longitude": one.longitude})
        act.name_file(one.sha256, f"{one.shows}-{place}.jpg")
        act.name_file(one.thumb, f"{one.shows}-{place}-small.jpg")

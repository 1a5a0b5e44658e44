"""How full a drum may be, what room is left in it, and what its UN mark says: by the sums, from what is on record."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_FLOOR, Decimal

from disposal.core.drumnow import DrumNow
from disposal.core.filling import Liquid, boxes, held, last_warmth, liquid_of, weighed_density
from hazmat.core.dated import Cite
from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import Fixed, Worked
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import SIGNED, rows, work
from hazmat.models import UnitStanding
from hazmat.queries.units import unpacked
from hazmat.rulebooks.sumbook import sums

FILLING, MARK = "drum_filling", "un_mark"
TENTH = Decimal("0.1")
"""To what litres are told in a sentence. Source: our own choice."""
LONGEST = 12
"""Characters of a temperature. Source: the column of its table."""
THOUSANDTH = Decimal("0.001")
"""To what a density is told. Source: our own choice."""
SHOWN = ("most_l", "most_kg", "room_l", "room_kg", "held_l")
"""Lines of the sum that the page shows; the rest stands under how it was worked out."""

CUT = ("most_l", "most_kg", "room_l", "room_kg", "full_l")
"""Lines that would allow too much if they were rounded up."""

Said = tuple[str, Cite]


@dataclass(frozen=True)
class Filled:
    """How full a drum may be at a temperature. Litres and kg as the sum gives them, None where it gives none.

    `at`: °C that were reckoned with; `celsius`: what was asked or written down, empty where nothing was; `stands`:
    `within`, `over`, `full`, or empty where what is in it is not known; `first`: the sentence on that; `said`: the
    rest; `unread`: why it cannot be worked out; `asked`: what the sum was asked.
    """

    capacity: Decimal
    celsius: str = ""
    at: Decimal | None = None
    most: Decimal | None = None
    held: Decimal | None = None
    stands: str = ""
    first: Said | None = None
    said: tuple[Said, ...] = ()
    rows: tuple[tuple[str, str], ...] = ()
    more: tuple[tuple[str, str], ...] = ()
    unread: str = ""
    asked: Mapping[str, str] | None = None


@dataclass(frozen=True)
class Marked:
    """A UN mark in its parts, held against liquid PCB and what is in the drum. `unread`: why it cannot be read."""

    suits: str = ""
    first: Said | None = None
    said: tuple[Said, ...] = ()
    rows: tuple[tuple[str, str], ...] = ()
    unread: str = ""
    asked: Mapping[str, str] | None = None


def in_drum(drum: DrumNow) -> Liquid:
    """The liquid in a drum, by the units that it came from as they are known now."""
    units = [one.unit for one in drum.sources]
    bodies = UnitStanding.objects.filter(unit__in=units).values_list("body", flat=True) if units else ()
    return liquid_of(unpacked(body).line for body in bodies)


def filled(drum: DrumNow, liquid: Liquid, celsius: str, on: date) -> Filled:
    """How full it may be, by the sum of that name. No `celsius`: as warm as what came in last, or cold."""
    celsius = celsius or last_warmth(drum)
    asked = {**boxes(drum.capacity_l, liquid, celsius), **held(drum, liquid)}
    try:
        worked = work(sums()[FILLING], asked, on)
    except Slip as slip:
        return Filled(Decimal(drum.capacity_l), celsius, unread=slip.says, asked=asked)
    said = sums()[FILLING].said(worked)
    always, stands = len(sums()[FILLING].always), str(worked.values.get("stands", ""))
    first = said[always] if stands else None
    said = [*said[always + bool(stands) :], *said[:always]]
    lines = _lines(worked)
    return Filled(
        Decimal(drum.capacity_l), celsius, _number(worked, "reckoned_at"), _number(worked, "most_l"),
        _number(worked, "held_l"), stands, first, tuple(said),
        tuple(lines[key] for key in SHOWN if key in lines),
        tuple(row for key, row in lines.items() if key not in (*SHOWN, "stands")), asked=asked,
    )  # fmt: skip


def _lines(worked: Worked) -> dict[str, tuple[str, str]]:
    """Each line that came out, in words, by its key; what may be in it, and the room, are cut and not rounded."""
    cut = {
        key: value.quantize(TENTH, ROUND_FLOOR)
        for key, value in worked.values.items()
        if key in CUT and isinstance(value, Decimal)
    }
    keys = [line.key for line in sums()[FILLING].lines if line.key in worked.values]
    return dict(zip(keys, rows(sums()[FILLING], Worked({**worked.values, **cut})), strict=True))


def _number(worked: Worked, key: str) -> Decimal | None:
    value = worked.values.get(key)
    return value if isinstance(value, Decimal) else None


def most_litres(drum: DrumNow, liquid: Liquid, celsius: str, on: date) -> Decimal | None:
    """The litres that may be in a drum at a temperature; None where its own figures cannot be worked with."""
    try:
        return _number(work(sums()[FILLING], boxes(drum.capacity_l, liquid, celsius), on), "most_l")
    except Slip:
        return None


def no_warmth(text: str) -> str:
    """Why this is no temperature of a liquid in °C, as a sentence; empty where it is one."""
    box = next(one for one in sums()[FILLING].boxes if one.key == "filled_at")
    number = Decimal(text) if SIGNED.fullmatch(text) else None
    if box.least is None or box.most is None:
        raise TypeError("the sum on filling bounds the temperature")
    if number is not None and box.least <= number <= box.most and len(figure_words(number)) <= LONGEST:
        return ""
    return (
        f"“{text}” °C cannot be; write how warm the liquid was in °C, from {figure_words(box.least)} to "
        f"{figure_words(box.most)}, or leave it empty."
    )


def over_words(key: str, at: str, most: Decimal, litres: Decimal, called: str) -> str:
    """The sentence of a pour after which more is in a drum than may be, with its document."""
    asked = sums()[FILLING]
    told = figure_words(most.quantize(TENTH, ROUND_FLOOR)), figure_words(litres.quantize(TENTH))
    says = asked.spoken(key, {"at": at, "most": told[0], "litres": told[1], "drum": called})
    return f"{says} ({asked.sentences[key].cite.document})."


def marked(drum: DrumNow, liquid: Liquid, on: date) -> Marked | None:
    """What its mark says, and whether it suits liquid PCB and what is in it; None where it has none."""
    if not drum.un_mark.strip():
        return None
    asked = _of_mark(drum, liquid, on)
    try:
        worked = work(sums()[MARK], asked, on)
    except Slip as slip:
        return Marked(unread=slip.says, asked=asked)
    always = len(sums()[MARK].always)
    said = sums()[MARK].said(worked)
    said, first = [*said[always + 1 :], *said[:always]], said[always]
    told = tuple(row for row in rows(sums()[MARK], worked) if row[0] != sums()[MARK].lines[0].says)
    return Marked(str(worked.values["suits"]), first, tuple(said), told, asked=asked)


def _of_mark(drum: DrumNow, liquid: Liquid, on: date) -> dict[str, str]:
    """The boxes of the sum on marks: the densest that what is in it can be, and the least that it weighs."""
    fixed = Fixed(sums()[FILLING].figures, on)
    assumed = {"askarel": "askarel_15", "mineral": "heavy_oil"}.get(liquid.name, "") if drum.sources else ""
    known = [one for one in (liquid.heaviest, weighed_density(drum)) if one is not None]
    density = max(known) if known else fixed.number(assumed) if assumed else None
    box = next(one for one in sums()[MARK].boxes if one.key == "density")
    found = {"mark": drum.un_mark, "on": on.isoformat()}
    if density is not None and box.least is not None and box.most is not None and box.least <= density <= box.most:
        found["density"] = figure_words(density.quantize(THOUSANDTH))
    if drum.between_kg[0] not in ("", "0"):
        found["gross_kg"] = drum.between_kg[0]
    return found

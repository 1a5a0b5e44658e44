"""How many drums it takes: litres by class, pieces that cannot be parted, and a unit that is packed whole."""

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import ROUND_CEILING, Decimal

from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

LOT = re.compile(r"\s*(?P<name>[^:;]*[^:;\s])\s*:\s*(?P<amounts>[0-9][0-9.\s]*)")
AMOUNT = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,3})?", re.ASCII)
UNTESTED = "untested"
"""Whose name begins so meets nothing else."""
MOST_PIECES = 200
"""No plan is longer. Source: our own bound."""

Lots = Mapping[str, Sequence[Decimal]]
"""Amounts under the name of their class, in the order in which they were written."""


def lots(text: str, box: str) -> Lots:
    """`over 50: 1500 1650; untested: 60 45`. Raises CannotWork where it cannot be read."""
    found: dict[str, list[Decimal]] = {}
    for part in text.split(";"):
        if not part.strip():
            continue
        lot = LOT.fullmatch(part)
        amounts = lot["amounts"].split() if lot else []
        if lot is None or not all(AMOUNT.fullmatch(one) and Decimal(one) for one in amounts):
            raise CannotWork(box, "lots_unread", part=" ".join(part.split()))
        name = " ".join(lot["name"].lower().split())
        found.setdefault(name, []).extend(Decimal(one) for one in amounts)
    if not found:
        raise CannotWork(box, "lots_unread", part=text.strip())
    if sum(map(len, found.values())) > MOST_PIECES:
        raise CannotWork(box, "too_many_pieces", most=str(MOST_PIECES))
    return found


def untested(name: str) -> bool:
    """Whether nobody has shown the class of what goes by this name."""
    return name.split()[0].strip(",.-") == UNTESTED


def rounded_up(number: Decimal) -> int:
    """The whole number that is not less."""
    return int(number.to_integral_value(ROUND_CEILING))


def first_fit(pieces: Sequence[Decimal], most: Decimal) -> list[list[Decimal]]:
    """Pieces into drums, the heaviest first, each into the first drum with room for it (first-fit decreasing)."""
    drums: list[list[Decimal]] = []
    for piece in sorted(pieces, reverse=True):
        for drum in drums:
            if sum(drum, piece) <= most:
                drum.append(piece)
                break
        else:
            drums.append([piece])
    return drums


def least_drums(pieces: Sequence[Decimal], most: Decimal) -> int:
    """Fewer drums than this can never hold them: by their sum, and by those of which no two fit together."""
    large = sum(2 * piece > most for piece in pieces)
    return max(rounded_up(sum(pieces, Decimal(0)) / most), large)


def packing(given: Given, fixed: Fixed) -> Worked:
    """Drums for litres by class, and for pieces by class; classes never meet, and what is untested meets nothing."""
    if given["litres"] is None and given["pieces"] is None:
        raise CannotWork("litres", "nothing_to_pack")
    values: dict[str, Value] = {}
    notes: list[Note] = []
    if given["litres"] is not None:
        if given["drum_l"] is None:
            raise CannotWork("drum_l", "drum_litres_missing")
        poured = list(_poured(lots(given["litres"], "litres"), given["drum_l"]))
        values |= {"drums_l": sum(drums for _, _, drums in poured)}
        values["litres_plan"] = tuple(f"{name} {figure_words(one)} L: {drums}" for name, one, drums in poured)
    if given["pieces"] is not None:
        if given["drum_kg"] is None:
            raise CannotWork("drum_kg", "drum_kg_missing")
        packed = list(_packed(lots(given["pieces"], "pieces"), given["drum_kg"]))
        drums, least = sum(len(plan) for _, plan, _ in packed), sum(least for _, _, least in packed)
        values |= {"drums_pieces": drums, "least_pieces": least}
        told = (f"{name} {' + '.join(map(figure_words, drum))} kg" for name, plan, _ in packed for drum in plan)
        values["pieces_plan"] = tuple(told)
        if drums > least:
            notes.append(Note("fewer_might_do", {"drums": str(drums), "least": str(least)}))
    values["drums"] = sum(int(str(values.get(key, 0))) for key in ("drums_l", "drums_pieces"))
    return Worked(values, tuple(notes))


def _poured(asked: Lots, drum_l: Decimal) -> Iterator[tuple[str, Decimal, int]]:
    """Each oil that goes into drums of its own, its litres, and how many drums it fills."""
    for name, amounts in asked.items():
        for litres in amounts if untested(name) else (sum(amounts, Decimal(0)),):
            yield name, litres, rounded_up(litres / drum_l)


def _packed(asked: Lots, most: Decimal) -> Iterator[tuple[str, list[list[Decimal]], int]]:
    """Each class, its drums with what goes into each, and how few could hold it at the very least."""
    for name, pieces in asked.items():
        if (heavy := max(pieces)) > most:
            raise CannotWork("pieces", "piece_too_heavy", piece=figure_words(heavy), most=figure_words(most))
        alone = untested(name)
        plan = [[piece] for piece in pieces] if alone else first_fit(pieces, most)
        yield name, plan, len(pieces) if alone else least_drums(pieces, most)


def packed_whole(given: Given, fixed: Fixed) -> Worked:
    """A unit that is packed with its liquid in it: what its packaging holds besides, and what soaks its liquid up."""
    litres = given["liquid_l"]
    return Worked({"holds_l": litres * fixed.number("holds_over"), "soaks_l": litres * fixed.number("soaks_over")})


WORK: dict[str, Work] = {"packing": packing, "packed_whole": packed_whole}

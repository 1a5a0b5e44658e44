"""Screens: chlorine as PCB, what a colour tube says and where it trips, the sink test, what a test's rates make."""

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from hazmat.core.measures import MG_KG_IN_PER_CENT, PER_CENT, figure_words, rounded_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

WATER = Decimal(1)
"""Density of water in kg/L, to the third figure. Source: definition of the litre, water at 4 °C."""
CALIBRATED = "1242"
"""The mixture whose chlorine the colour tubes are set by. Source: SW-846 9079 section 2.3, 42 % chlorine."""
UNKNOWN = "unknown"
THOUSANDS = Decimal("1E3")
"""How finely a note tells the PCB that may hide in oil that floats. Source: our own choice."""


def share_of(mixture: str, fixed: Fixed) -> Decimal:
    """The share of chlorine by weight in a mixture; unknown: the least of all, which makes most PCB of a chlorine."""
    if mixture == UNKNOWN:
        return min(fixed.number(name) for name in fixed.versions if name.startswith("share_"))
    return fixed.number(f"share_{mixture}")


def stretch(mixture: str, fixed: Fixed) -> Decimal:
    """How many mg/kg of this mixture hold the chlorine of one mg/kg of the mixture that tubes are set by."""
    return share_of(CALIBRATED, fixed) / share_of(mixture, fixed)


def _cannot_exceed(box: str, mg_kg: Decimal) -> None:
    if mg_kg > PER_CENT * MG_KG_IN_PER_CENT:
        raise CannotWork(box, "more_than_all", mg_kg=figure_words(mg_kg.quantize(Decimal(1))))


def chlorine(given: Given, fixed: Fixed) -> Worked:
    """`chlorine` in mg/kg told as PCB of a `mixture`, or `pcb` in mg/kg told as chlorine. One of the two is given."""
    share, found = share_of(given["mixture"], fixed), given["chlorine"]
    if (found is None) == (given["pcb"] is None):
        raise CannotWork("chlorine", "chlorine_or_pcb")
    if not (found or given["pcb"]):
        raise CannotWork("pcb" if found is None else "chlorine", "nought")
    notes = [Note("unknown_is_worst")] if given["mixture"] == UNKNOWN else []
    if found is None:
        found, pcb = given["pcb"] * share, given["pcb"]
    else:
        pcb = found / share
        _cannot_exceed("chlorine", pcb)
        notes.append(Note("floor_of_method", {"pcb": rounded_words(pcb)}))
    as_set = found / share_of(CALIBRATED, fixed)
    return Worked({"share": share * PER_CENT, "pcb": pcb, "chlorine": found, "as_42": as_set}, tuple(notes))


class Tube(NamedTuple):
    """One tube: its set point in mg/kg as 42 % chlorine, and whether it read above."""

    set_point: Decimal
    above: bool


def _unfit(given: Given) -> Iterator[Note]:
    """Why no tube of this sample counts, each reason of its own."""
    if given["wet"]:
        yield Note("void_wet")
    if given["expired"]:
        yield Note("void_expired")
    if given["control_ok"] is False:
        yield Note("void_control")


def _tubes(given: Given) -> tuple[list[Tube], list[Note]]:
    """The tubes that can be read, and what is said of those that cannot. Raises CannotWork."""
    tubes: list[Tube] = []
    notes: list[Note] = []
    if (given["set_point_2"] is None) != (given["colour_2"] is None):
        raise CannotWork("colour_2" if given["colour_2"] is None else "set_point_2", "second_tube_whole")
    for box, colour in (("set_point", given["colour"]), ("set_point_2", given["colour_2"])):
        if colour is None:
            continue
        if colour != "unclear" and given[box] != UNKNOWN:
            tubes.append(Tube(Decimal(given[box]), colour == "yellow"))
            continue
        unread = Note("void_colour" if colour == "unclear" else "void_set_point")
        if unread not in notes:
            notes.append(unread)
    return tubes, notes


def screen(given: Given, fixed: Fixed) -> Worked:
    """What one or two colour tubes of one sample say.

    `low`: at least this much, `high`: less than this much, in mg/kg as 42 % chlorine; `worst`: what `high` could be of
    the mixture with least chlorine.
    """
    tubes, notes = _tubes(given)
    if given["fluid"] not in ("hydrocarbon", UNKNOWN):
        other = Note("askarel_is_worst") if given["fluid"] == "askarel" else Note("other_fluid")
        return Worked({"reading": "not_for_this_fluid"}, (other, *_yellow_all_the_same(given)))
    unfit = list(_unfit(given))
    if unfit or not tubes:
        return Worked({"reading": "void"}, (*unfit, *notes, Note("void_again"), *_yellow_all_the_same(given)))
    reading, low, high = _read(tubes)
    values: dict[str, Value] = {"reading": reading}
    if low is not None:
        values["low"] = low
        notes.append(Note("above_counts", {"set_point": figure_words(low)}))
    if high is not None:
        worst = high * stretch(UNKNOWN, fixed)
        values |= {"high": high, "worst": worst}
        notes.append(Note("below_lowers_nothing", {"set_point": figure_words(high), "worst": figure_words(worst)}))
    if reading == "contradictory":
        notes.append(Note("contradictory"))
    if given["fluid"] == UNKNOWN:
        notes.append(Note("fluid_not_known"))
    if None in (given["wet"], given["expired"], given["control_ok"]):
        notes.append(Note("not_said"))
    return Worked(values, tuple(notes))


def _yellow_all_the_same(given: Given) -> Iterator[Note]:
    if "yellow" in (given["colour"], given["colour_2"]):
        yield Note("yellow_all_the_same")


def _read(tubes: list[Tube]) -> tuple[str, Decimal | None, Decimal | None]:
    """The reading of tubes that count, with the highest set point read above and the lowest read below."""
    low = max((one.set_point for one in tubes if one.above), default=None)
    high = min((one.set_point for one in tubes if not one.above), default=None)
    if low is None:
        return "below", None, high
    if high is None:
        return "above", low, None
    return ("bracket", low, high) if low < high else ("contradictory", low, None)


def trips_at(given: Given, fixed: Fixed) -> Worked:
    """The real mg/kg of a `mixture` at which a tube just trips, and what other chlorine in mg/kg reads like."""
    set_point, mixture = Decimal(given["set_point"]), given["mixture"]
    times, calibrated = stretch(mixture, fixed), share_of(CALIBRATED, fixed)
    values: dict[str, Value] = {"trips": set_point * times, "chlorine": set_point * calibrated}
    notes = [Note("unknown_is_worst")] if mixture == UNKNOWN else []
    if times > 1:
        notes.append(Note("reads_low"))
    elif times < 1:
        notes.append(Note("reads_high"))
    other = Decimal(0)
    for box, figure in (("trichlorobenzene", "chlorine_of_tcb"), ("salt", "chlorine_of_salt")):
        if given[box] is not None:
            reads = given[box] * fixed.number(figure) / calibrated
            values[f"{box}_reads"] = reads
            other += reads
    if given["trichlorobenzene"] is not None or given["salt"] is not None:
        values["alone"] = other >= set_point
        notes.append(Note("other_chlorine"))
    return Worked(values, tuple(notes))


def sink(given: Given, fixed: Fixed) -> Worked:
    """What a drop of oil in water says, and how much askarel may hide in oil that floats.

    Densities in kg/L; `pcb_share`: per cent of PCB in the askarel, the rest trichlorobenzene.
    """
    part, oil, heavy = given["pcb_share"] / PER_CENT, given["oil"], given["askarel"]
    if heavy is None:
        volume = part / fixed.number("density_of_pcb") + (1 - part) / fixed.number("density_of_tcb")
        heavy = 1 / volume
    share = (1 / oil - 1 / WATER) / (1 / oil - 1 / heavy)
    pcb = share * part * PER_CENT * MG_KG_IN_PER_CENT
    values: dict[str, Value] = {"askarel": heavy, "share": share * PER_CENT, "pcb": pcb}
    if given["seen"] is None:
        return Worked(values)
    verdict = "treat_as_askarel" if given["seen"] == "sinks" else "says_nothing"
    slots = {"pcb": figure_words(pcb.quantize(THOUSANDS))}
    return Worked({"verdict": verdict, **values}, (Note(verdict, slots),))


def detection(given: Given, fixed: Fixed) -> Worked:
    """The chance that PCB is over the line after a reading, from the chance before it and the test's two rates."""
    prior, above = given["prior"], given["result"] == "above"
    if_over = given["sensitivity"] if above else 1 - given["sensitivity"]
    if_under = 1 - given["specificity"] if above else given["specificity"]
    chance = prior * if_over + (1 - prior) * if_under
    if not chance:
        raise CannotWork("result", "cannot_happen")
    values = {"posterior": prior * if_over / chance, "chance": chance}
    return Worked(values, (Note("above_to_laboratory"),) if above else ())


WORK: dict[str, Work] = {
    "chlorine": chlorine,
    "screen": screen,
    "trips_at": trips_at,
    "sink": sink,
    "detection": detection,
}

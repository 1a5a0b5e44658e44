"""Every word of a drum label and of a hand-over sheet, frozen; names and telephones of people stand in the aside."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from disposal.core.drumnow import DrumNow
from disposal.core.drumtold import told
from disposal.core.loadnow import INKS, PARTIES, SIGNING, ItemNow, LoadNow, Party
from hazmat import rulebooks
from hazmat.core import parts
from hazmat.core.codes import spaced
from hazmat.core.measures import day_words, figure_words
from hazmat.core.telling import NOT_KNOWN, kind_word
from hazmat.core.unitnow import ESTABLISHED, UnitNow
from hazmat.papers.frame import Made, frame, law_of_yard, law_words, local_moment, made, said, strip_words

LABEL, SHEET = "drum_label", "hand_over_sheet"
TITLES = {LABEL: "Drum label", SHEET: "Hand-over sheet"}
KINDS = {"drum": "Drum", "slop_can": "Slop can"}
"""What a drum is called."""
SHOWN = 8
"""Tags of sources that a label has room for. Source: our own layout."""
NOT_WEIGHED, NOT_TOLD = "not weighed", "not told"
HASH = 16
"""Characters of the hash of an entry that a sheet shows. Source: our own choice."""
NOTHING_YET = "nothing yet"
HOLD = "HOLD"
"""Said of a unit on hold, beside its class."""
FIRST_POUR = "first drained"
"""Said beside a day that stands in for one that nobody wrote down."""


@dataclass(frozen=True, kw_only=True)
class Firm:
    """A carrier or facility as a sheet names it: `licences` in words; its telephone goes into the aside."""

    name: str
    licences: tuple[str, ...] = ()
    phone: str = ""


@dataclass(frozen=True, kw_only=True)
class Loaded:
    """An item with the drum or the unit that it is, as that stands now."""

    item: ItemNow
    drum: DrumNow | None = None
    unit: UnitNow | None = None


def drum_label(drum: DrumNow, yard: Mapping[str, str], number: str, at: datetime, by: str) -> Made:
    """The label of a drum, as at an instant. `by`: the name of the person who issues it."""
    zone, house = ZoneInfo(yard["zone"]), rulebooks.rulebook(rulebooks.HANDLING)
    words = told(drum, rulebooks.law, house)
    on = at.astimezone(zone).date()
    tags = [one.tag for one in drum.sources]
    payload = {
        **frame(LABEL, TITLES[LABEL], yard, number, at),
        "of": {"what": "drum", "code": drum.code}, "kind": KINDS[drum.kind],
        **label_says(drum), "hands": words.hands,
        "content": words.content, "capacity": drum.capacity_l, "un_mark": drum.un_mark, "dated": words.dated,
        "for_unit": drum.for_unit, "sources": tags[:SHOWN], "rest": tags[SHOWN:],
        "beside": said("label_beside"), "do_not": said("label_do_not"),
        "law": _law_of_drum(drum, yard, on),
    }  # fmt: skip
    return made(payload, {}, yard, by)


def label_says(drum: DrumNow) -> dict[str, Any]:
    """What a label says of how a drum stands; where any of it no longer holds, the label is to be printed anew."""
    words = told(drum, rulebooks.law, rulebooks.rulebook(rulebooks.HANDLING))
    return {
        "basis": parts.BASIS[drum.known], "care": drum.care, "strength": words.strength,
        "hold": strip_words(words.hold),
        "counts_from": _day(drum.date) if drum.sources else NOTHING_YET,
    }  # fmt: skip


def _law_of_drum(drum: DrumNow, yard: Mapping[str, str], on: date) -> dict[str, str]:
    """The law whose class a label names; of a drum of no law, that of the yard."""
    law = rulebooks.law(drum.rulebook)
    return law_words(law.name, law.stamp, on) if law else law_of_yard(yard, on)


def hand_over_sheet(
    load: LoadNow, loaded: Sequence[Loaded], firms: Mapping[Party, Firm], yard: Mapping[str, str], number: str,
    at: datetime, by: str, *, signers: Mapping[Party, str] | None = None, chain: tuple[str, str] | None = None,
) -> Made:  # fmt: skip
    """The sheet that travels with a load. `loaded`: what travels, in order; `firms`: the carrier and the facility.

    `signers`: the names of those who signed already; `chain`: number and hash of the last entry before this one.
    """
    zone = ZoneInfo(yard["zone"])
    payload = {
        **frame(SHEET, TITLES[SHEET], yard, number, at), "of": {"what": "load", "number": load.number},
        **sheet_says(load, loaded, yard), "planned": local_moment(load.planned_at, zone),
        "firms": [_firm(party, firms[party]) for party in SIGNING if party in firms],
        "boxes": [_box(party, load, firms, yard, zone) for party in SIGNING],
        "beside": said("sheet_beside"), "emergency": said("sheet_emergency").rstrip("."),
        "law": law_of_yard(yard, at.astimezone(zone).date()),
        "chain": {"entry": chain[0], "hash": chain[1][:HASH]} if chain else None,
    }  # fmt: skip
    private = {f"{party}_signed_by": name for party, name in (signers or {}).items() if name}
    private |= {f"{party}_phone": firm.phone for party, firm in firms.items() if firm.phone}
    return made(payload, private, yard, by)


def sheet_says(load: LoadNow, loaded: Sequence[Loaded], yard: Mapping[str, str]) -> dict[str, Any]:
    """What a sheet says of how a load stands; where any of it no longer holds, the sheet is to be printed anew."""
    return {
        "official": _official(load, yard), "note": load.note, "between": [load.carrier_name, load.facility_name],
        "rows": [_row(one) for one in loaded], "totals": _totals(loaded),
    }  # fmt: skip


def _official(load: LoadNow, yard: Mapping[str, str]) -> dict[str, str]:
    """The official number and what the law of the yard calls it; nothing where the law has none and none was given."""
    own = official_name(yard)
    if not own and not load.official:
        return {}
    return {"says": own or said("official_other").rstrip("."), "number": load.official}


def official_name(yard: Mapping[str, str]) -> str:
    """What the law of this yard calls the number that it wants for a load, empty where it wants none."""
    own = f"official_{yard['country']}"
    return said(own).rstrip(".") if own in rulebooks.rulebook(rulebooks.HANDLING).sentences else ""


def _firm(party: Party, firm: Firm) -> dict[str, Any]:
    return {"party": party, "says": PARTIES[party], "name": firm.name, "licences": list(firm.licences)}


def _box(
    party: Party, load: LoadNow, firms: Mapping[Party, Firm], yard: Mapping[str, str], zone: ZoneInfo
) -> dict[str, str]:
    """A box for ink in signing order; where somebody signed already, when, and what kind of signature it was."""
    name = yard["name"] if party == "yard" else firms[party].name
    signed = next((one for one in load.signatures if one.party == party), None)
    head = {"party": party, "says": PARTIES[party], "name": name}
    if signed is None:
        return {**head, "signed": "", "inked": ""}
    return {**head, "signed": local_moment(signed.at, zone), "inked": INKS[signed.inked]}


def _row(one: Loaded) -> dict[str, str]:
    """One line of the ledger."""
    item, house = one.item, rulebooks.rulebook(rulebooks.HANDLING)
    row = {"code": spaced(item.code), "kg": item.kg or NOT_WEIGHED}
    if one.drum:
        drum = one.drum
        words = told(drum, rulebooks.law, house)
        dated = f" ({FIRST_POUR})" if drum.dated_by == "poured" else ""
        return {
            **row, "kind": KINDS[drum.kind], "class": words.strength or words.hold.says.rstrip("."),
            "care": house.class_words[drum.care].says, "litres": drum.litres or NOT_TOLD,
            "from": f"{_day(drum.date)}{dated}", "known": parts.BASIS[drum.known],
        }  # fmt: skip
    if one.unit is None:
        raise LookupError(f"{item.code} is neither a drum nor a unit")
    answer, count = _counted(one.unit), _alike(one)
    alike = f", {count} alike" if count > 1 else ""
    return {
        **row, "kind": kind_word(one.unit.line.get("kind")).capitalize() + alike,
        "hold": HOLD if one.unit.stands == "hold" else "",
        "class": parts.strength(answer, rulebooks.law(str(answer["rulebook"])), house),
        "care": house.class_words[answer["care"]].says, "litres": NOT_TOLD,
        "from": _day(str(one.unit.line.get("decided_waste") or "")), "known": str(answer["basis"]),
    }  # fmt: skip


def _counted(unit: UnitNow) -> Mapping[str, Any]:
    """Its answer, as whoever pours its oil goes by it: what nobody signed proves nothing low."""
    answer, oil = unit.answer, unit.oil
    proven = (answer["basis"] == ESTABLISHED) == (parts.BASIS[oil.known] == ESTABLISHED)
    if proven and (answer["class"], answer["care"]) == (oil.klass, oil.care):
        return answer
    own = {"class": oil.klass, "care": oil.care, "basis": parts.BASIS[oil.known], "rulebook": oil.rulebook}
    return {**answer, **own, "because": [{"key": ""}]}


def _alike(one: Loaded) -> int:
    """How many like units an item is."""
    return int(str(one.unit.line.get("count") or 1)) if one.unit else 0


def _day(written: str) -> str:
    return day_words(date.fromisoformat(written)) if written else NOT_KNOWN


def _totals(loaded: Sequence[Loaded]) -> dict[str, str]:
    """How many of each, kg of what was weighed, litres of what was measured; what is left out is said."""
    drums = [one.drum for one in loaded if one.drum]
    weighed = [one.item.kg for one in loaded if one.item.kg]
    measured = [drum.litres for drum in drums if drum.litres]
    return {
        "items": str(len(loaded)), "drums": str(len(drums)), "units": str(sum(map(_alike, loaded))),
        "kg": _sum(weighed), "not_weighed": str(len(loaded) - len(weighed)),
        "litres": _sum(measured), "not_measured": str(len(loaded) - len(measured)),
    }  # fmt: skip


def _sum(amounts: Sequence[str]) -> str:
    return figure_words(sum((Decimal(one) for one in amounts), Decimal()))

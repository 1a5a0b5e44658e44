"""The letter to the owner of a unit: what is proven and by what, what is not, what to do now, what the law asks.

It promises nothing beyond the record. Names of those who signed stand in the aside; the words say only how many did.
"""

from collections.abc import Mapping
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from hazmat import rulebooks
from hazmat.core import parts
from hazmat.core.codes import spaced
from hazmat.core.facts import TANK
from hazmat.core.findings import ENDS
from hazmat.core.measures import day_words
from hazmat.core.telling import NOT_KNOWN, facts, span_words
from hazmat.core.unitnow import ESTABLISHED, FateNow, ResultNow, UnitNow, VerdictNow
from hazmat.edge.one import answer_data, judged
from hazmat.edge.story import Story, figure
from hazmat.papers.frame import local_day, owed, reasons, said, strip_words

OUT = ("gone", "destroyed")
"""How a unit stands that is no longer there to be looked after."""
SAMPLING_GEAR = "wear_to_sample"
CHECKED = "release_check"
"""Gear that a letter does not name: it hands out no steps of sampling. The act that a release has done already."""
DECIDED = {"release": "Released", "pcb_route": "Sent down the PCB route", "hold": "Put on hold"}
HAPPENED = {
    "gone": "It left", "back": "It came back", "destroyed": "It was destroyed",
    "oil_destroyed": "Oil that was drained from it was destroyed",
}  # fmt: skip


def owner_letter(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    """What the letter says besides the frame; `signers`: ids of those who signed, by their name in the aside."""
    zone = ZoneInfo(yard["zone"])
    asked = for_owner(unit, yard)
    verdict = unit.decided
    signed = [one for one in (verdict.signer, verdict.second) if one] if verdict else []
    return {
        "arrival": "brought to us" if unit.arrival == "gate" else "met where it stands",
        "met": local_day(unit.logged_at, zone), "stands": unit.stands, "hold": _strip(unit, words),
        "about": said("letter_about"), "proven": _proven(unit, words, zone), "open": _open(unit, words),
        "because": reasons(unit.answer),
        "do": _do(unit, asked, words), "law_asks": _law_asks(unit, asked),
        "call": said("letter_questions" if unit.stands in OUT else "notice_call").rstrip("."),
        "signers": dict(zip(("signer", "second"), signed, strict=False)),
    }  # fmt: skip


def for_owner(unit: UnitNow, yard: Mapping[str, str]) -> Mapping[str, Any]:
    """The answer on the same law day as it is for a holder of the unit, whatever this yard is to it.

    Where the rulebook has changed since, the answer of record stands: a letter names one edition alone.
    """
    answer, place = unit.answer, yard["state"] or yard["country"].upper()
    line = {**unit.judged_line, "role": "holder"}
    own = answer_data(judged(line, unit.tag, place, date.fromisoformat(answer["on"]), date.max))
    same = ("rulebook", "edition", "class", "basis", "care")
    return own if all(own[key] == answer[key] for key in same) else answer


def _strip(unit: UnitNow, words: Story) -> dict[str, Any]:
    """How the unit stands; what is out stands in words for its owner."""
    if unit.stands in OUT:
        means = [said(f"letter_{unit.stands}_means")]
        if unit.stands == "destroyed" and not any(one.what == "oil_destroyed" for one in unit.fates):
            means.append(said("letter_drained"))
        return {"on": False, "says": said(f"letter_{unit.stands}"), "lifts": " ".join(means)}
    return strip_words(words.hold)


def _proven(unit: UnitNow, words: Story, zone: ZoneInfo) -> dict[str, Any]:
    """What is proven, then each thing on record that bears on it."""
    established = unit.answer["basis"] == ESTABLISHED
    signed = [one for one in (unit.decided, unit.lapsed, unit.waiting) if one]
    return {
        "says": words.strength if established else said("letter_nothing_proven"),
        "results": [result_words(one) for one in unit.counting] or [said("letter_no_result")],
        "verdicts": [_verdict(one, unit, zone) for one in signed],
        "fates": [_fate(one, zone) for one in unit.fates],
        "limits": said("letter_limits") if established else "",
    }  # fmt: skip


def result_words(result: ResultNow) -> str:
    """`Oil Works: less than 2 mg/kg in the tank, drawn 7 Jan 2026; report of 9 Jan 2026, job J1; bottle B3T TLE.`"""
    test = result.test
    drawn = f", drawn {span_words(str(test['on']))}" if test.get("on") else ", day of the sample not known"
    more = "".join([
        f"; report of {day_words(date.fromisoformat(result.reported_on))}",
        f", their number {result.job}" if result.job else "",
        f"; bottle {spaced(result.bottle)}" if result.bottle else "; no bottle on record",
        "; it amends an earlier report" if result.amends else "",
    ])  # fmt: skip
    return f"{result.laboratory}: {figure(test)} in the {test.get('space') or TANK}{drawn}{more}."


def _verdict(verdict: VerdictNow, unit: UnitNow, zone: ZoneInfo) -> dict[str, Any]:
    """The decision, its reason and day, how many signed, whether it stands; where it does not, why."""
    head = f"{DECIDED[verdict.decision]} on {local_day(verdict.second_at or verdict.signed_at, zone)}"
    by = "by two people" if verdict.second else "by one person"
    stands = verdict is unit.decided
    why = "" if stands else said("lapsed" if verdict.signed else "letter_verdict_waits")
    reason = verdict.reason.strip()
    return {
        "says": head, "by": by, "reason": reason if reason.endswith(ENDS) else f"{reason}.", "stands": stands,
        "fell": why,
    }  # fmt: skip


def _fate(fate: FateNow, zone: ZoneInfo) -> str:
    """`It left on 3 Feb 2026, Carry Ltd (load 41)`. The day of destruction is that of the certificate, or not said."""
    more = [
        f"drum {spaced(fate.drum)}" if fate.drum else "", f"load {fate.load}" if fate.load else "",
        f"certificate {fate.certificate}" if fate.certificate else "",
    ]  # fmt: skip
    told = ", ".join(word for word in more if word)
    firm = f", {fate.firm}" if fate.firm else ""
    if fate.what in ("gone", "back"):
        when = f" on {local_day(fate.at, zone)}"
    else:
        when = (
            f" on {day_words(date.fromisoformat(fate.on))}"
            if fate.on
            else ", on a day that its certificate does not say"
        )
    return f"{HAPPENED[fate.what]}{when}{firm}{f' ({told})' if told else ''}"


def _open(unit: UnitNow, words: Story) -> dict[str, Any]:
    """What is not proven, and what nobody knows."""
    tested = {str(one.test.get("space") or TANK) for one in unit.counting}
    spaces = [TANK, *(str(one["name"]) for one in unit.line.get("spaces") or ())]
    return {
        "says": "" if unit.answer["basis"] == ESTABLISHED else words.strength,
        "untested": [one for one in dict.fromkeys(spaces) if one not in tested] if len(spaces) > 1 else [],
        "unknown": [one["name"].lower() for one in facts(unit) if one["value"] == NOT_KNOWN],
    }  # fmt: skip


def _do(unit: UnitNow, asked: Mapping[str, Any], words: Story) -> dict[str, Any]:
    """What to do now, what not to do, whether it may be moved; of a unit that is out, what to keep."""
    if unit.stands in OUT:
        return {"says": said(f"letter_{unit.stands}_do"), "next": [], "do_not": [], "take": [], "wear": []}
    house = rulebooks.rulebook(rulebooks.HANDLING)
    sorted_ = parts.parts(asked["next"], house)
    sorted_ |= {"wear": list(words.wear), "take": parts.take(unit, sorted_["take"], house)}
    kept = {
        head: [one["says"] for one in tasks if one["act"] not in _left_out(unit)] for head, tasks in sorted_.items()
    }
    return {"says": said("letter_do"), **kept}


def _left_out(unit: UnitNow) -> frozenset[str]:
    return frozenset((SAMPLING_GEAR, CHECKED) if unit.stands == "released" else (SAMPLING_GEAR,))


def _law_asks(unit: UnitNow, asked: Mapping[str, Any]) -> dict[str, Any]:
    """The duties of the owner with their days; where none stands, why."""
    duties = [] if unit.stands == "destroyed" else owed(asked)
    if unit.stands == "destroyed":
        name = "letter_law_destroyed"
    elif not asked["rulebook"]:
        name = "letter_law_none"
    else:
        name = "letter_law_more" if duties else "letter_law_silent"
    return {"duties": duties, "says": said(name)}

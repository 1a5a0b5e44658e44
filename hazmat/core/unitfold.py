"""How a unit's standing follows from what was written about it: one step a record, in order of happening."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from hazmat.core.amended import with_one
from hazmat.core.clues import CluesNow
from hazmat.core.condition import ConditionNow
from hazmat.core.extended import ExtensionNow
from hazmat.core.screened import ScreenNow
from hazmat.core.shots import BreakdownNow
from hazmat.core.trail import BottleNow, Step
from hazmat.core.unitnow import (
    ESTABLISHED,
    LOW_CARE,
    NOTHING_PRESUMED,
    UNDETERMINED,
    FateNow,
    PaperNow,
    PartOff,
    Photo,
    ProvedDead,
    ResultNow,
    UnitNow,
    VerdictNow,
)
from hazmat.core.walked import WalkNow


@dataclass(frozen=True, kw_only=True)
class Written:
    """One record as a fold sees it: its label, keys, columns as plain data, and the entry that wrote it."""

    table: str
    id: str
    yard: str
    replaces: str | None
    image: Mapping[str, Any]
    happened_at: str
    recorded_at: str
    seq: str


Changes = Mapping[str, Any]
"""Fields of a standing, by name: all of them, or those that a record gives another value."""
PROOF = ("dead", "how", "detector_before", "detector_after", "back_feed", "earthed", "permit", "approach")
"""Columns of an isolation record."""


def step(unit: UnitNow | None, record: Written) -> UnitNow | None:
    """The standing after one more record. A record of no known kind, or of a unit not begun, changes nothing."""
    return folded([record], unit)


def folded(records: Iterable[Written], unit: UnitNow | None = None) -> UnitNow | None:
    """The standing after these records, one step each, from nothing or from a standing."""
    now: dict[str, Any] = {} if unit is None else dict(vars(unit))
    for record in records:
        change = STEPS.get(record.table)
        if record.table == "hazmat.unit":
            now = dict(vars(_begun(record)))
        elif now and change:
            latest, seq = max(now["happened_at"], record.happened_at), max(int(now["seq"]), int(record.seq))
            now.update(change(now, record), happened_at=latest, seq=str(seq))
    return UnitNow(**now) if now else None


def _begun(record: Written) -> UnitNow:
    return UnitNow(
        unit=record.id, yard=record.yard, tag=record.image["tag"], arrival=record.image["arrival"],
        logged_at=record.happened_at, look="", line={}, sources={}, leak="unknown", note="", proved=None, answer={},
        assessed_at="", seq=record.seq, happened_at=record.happened_at, logged=record.seq,
        parent=record.image.get("parent") or "", was=record.image.get("was", ""),
    )  # fmt: skip


def _looked(now: Changes, record: Written) -> Changes:
    image = record.image
    return {
        "look": record.id, "line": image["line"], "sources": image.get("sources", {}),
        "leak": image.get("leak", "unknown"), "note": image.get("note", ""), "claims": image.get("claims", {}),
        "seen": image.get("seen", {}),
    }  # fmt: skip


def _isolated(now: Changes, record: Written) -> Changes:
    image = record.image
    told: dict[str, Any] = {name: image[name] for name in PROOF if name in image}
    proved = ProvedDead(record=record.id, happened_at=record.happened_at, **{"how": "", **told})
    return {"proved": proved}


def _assessed(now: Changes, record: Written) -> Changes:
    """The assessment written last stands, whenever what it judges happened; what it counts as unsigned likewise.

    One that does not say that is its own where it shows nothing low; a low one alone leaves what was presumed.
    """
    answer, found = record.image["answer"], dict[str, Any]()
    if int(record.seq) >= int(now["assessed"]):
        found = {"answer": answer, "assessed_at": record.recorded_at, "assessed": record.seq}
    told = record.image.get("presumed")
    if told is None and (answer.get("basis") != ESTABLISHED or answer.get("care") not in LOW_CARE):
        told = answer
    if told is not None and int(record.seq) >= int(now["presumed_seq"]):
        found["presumed"] = (told.get("class", UNDETERMINED), told.get("care", NOTHING_PRESUMED[1]))
        found |= {"presumed_book": str(answer.get("rulebook") or ""), "presumed_seq": record.seq}
    return found


def _pictured(now: Changes, record: Written) -> Changes:
    image = record.image
    photo = Photo(
        id=record.id, sha256=image["sha256"], thumb=image["thumb"], shows=image["shows"], width=int(image["width"]),
        height=int(image["height"]), taken_at=image.get("taken_at"), words=image.get("words", ""),
    )  # fmt: skip
    return {"photographs": (*now["photographs"], photo)}


def _issued(now: Changes, record: Written) -> Changes:
    image = record.image
    paper = PaperNow(
        id=record.id, kind=image["kind"], number=image["number"], code=image["code"], made_at=record.happened_at,
        corrects=record.replaces, bottle=image.get("payload", {}).get("bottle", ""),
        tasks=tuple(image.get("payload", {}).get("tasks", ())),
    )  # fmt: skip
    return {"papers": (*now["papers"], paper)}


def _sealed(now: Changes, record: Written) -> Changes:
    sealed = record.image["paper"]
    papers = tuple(replace(one, sealed=record.image["sha256"]) if one.id == sealed else one for one in now["papers"])
    return {"papers": papers}


def _spaced(now: Changes, record: Written) -> Changes:
    return {"oil_spaces": {**now["oil_spaces"], record.id: record.image["name"]}}


def _taken_off(now: Changes, record: Written) -> Changes:
    image = record.image
    part = PartOff(space=image["space"], unit=image["part"], tag=image["tag"], at=record.happened_at)
    return {"parts_off": (*now["parts_off"], part)}


def _labelled(now: Changes, record: Written) -> Changes:
    image = record.image
    bottle = BottleNow(id=record.id, code=image["code"], space=image["space"], labelled_at=record.happened_at)
    return {"bottles": (*now["bottles"], bottle)}


def _handed(now: Changes, record: Written) -> Changes:
    image = record.image
    step = Step(record=record.id, what=image["what"], at=record.happened_at, note=image.get("note", ""))
    return {
        "bottles": tuple(
            replace(one, trail=(*one.trail, step), point=image.get("point", one.point))
            if one.id == image["bottle"]
            else one
            for one in now["bottles"]
        )
    }


def _resulted(now: Changes, record: Written) -> Changes:
    """A result; one that replaces another amends it, whichever of the two is met first."""
    image = record.image
    result = ResultNow(
        id=record.id, test=image["test"], reported_on=image["reported_on"], laboratory=image["laboratory"],
        entered_at=record.happened_at, bottle=image["test"].get("sample", "") if image.get("bottle") else "",
        seq=record.seq, amends=record.replaces,
        **{name: image[name] for name in ("job", "report", "report_kind", "why") if name in image},
    )  # fmt: skip
    return {"results": with_one(now["results"], result)}


def _screened(now: Changes, record: Written) -> Changes:
    image = record.image
    made = ScreenNow(
        id=record.id, test=image["test"], at=record.happened_at, colours=tuple(image.get("colours", ())),
        seq=record.seq, amends=record.replaces,
        apart=bool(image.get("apart")), **{name: image[name] for name in ("lot", "note", "why") if name in image},
    )  # fmt: skip
    return {"screens": with_one(now["screens"], made)}


def _read_again(now: Changes, record: Written) -> Changes:
    screen, colour = record.image["screen"], record.image["colour"]
    read = (one.read_again(colour, record.happened_at) if one.id == screen else one for one in now["screens"])
    return {"screens": tuple(read)}


def _broke_down(now: Changes, record: Written) -> Changes:
    image = record.image
    made = BreakdownNow(
        id=record.id, told=image["told"], at=record.happened_at, seq=record.seq, amends=record.replaces,
        **{name: image[name] for name in ("note", "why") if name in image},
    )  # fmt: skip
    return {"breakdowns": with_one(now["breakdowns"], made)}


def _touched(now: Changes, record: Written) -> Changes:
    """Gear stands with the step of a bottle, or with the breakdown test, in which it was used."""
    image = record.image
    tool, hand, test = image["tool"], image.get("hand"), image.get("breakdown")
    return {
        "bottles": tuple(
            replace(
                one,
                trail=tuple(
                    replace(step, tools=(*step.tools, tool)) if step.record == hand else step for step in one.trail
                ),
            )
            for one in now["bottles"]
        ),
        "breakdowns": tuple(
            replace(one, tools=(*one.tools, tool)) if one.id == test else one for one in now["breakdowns"]
        ),
    }


def _conditioned(now: Changes, record: Written) -> Changes:
    image = record.image
    made = ConditionNow(
        id=record.id, told=image["told"], at=record.happened_at, seq=record.seq, amends=record.replaces,
        **{name: image[name] for name in ("note", "why") if name in image},
    )  # fmt: skip
    return {"conditions": with_one(now["conditions"], made)}


def _clued(now: Changes, record: Written) -> Changes:
    made = CluesNow(
        id=record.id, told=record.image["told"], at=record.happened_at, note=record.image.get("note", "")
    )  # fmt: skip
    return {"clues": (*now["clues"], made)}


def _extended(now: Changes, record: Written) -> Changes:
    image = record.image
    made = ExtensionNow(
        id=record.id, until=image["until"], given_on=image["given_on"], by=image["by"], at=record.happened_at,
        seq=record.seq, amends=record.replaces,
        **{name: image[name] for name in ("number", "note", "why") if name in image},
    )  # fmt: skip
    return {"extensions": with_one(now["extensions"], made)}


def _walked(now: Changes, record: Written) -> Changes:
    made = WalkNow(
        id=record.id, told=record.image["told"], at=record.happened_at, note=record.image.get("note", "")
    )  # fmt: skip
    return {"walks": (*now["walks"], made)}


def _signed(now: Changes, record: Written) -> Changes:
    image = record.image
    verdict = VerdictNow(
        id=record.id, decision=image["decision"], reason=image["reason"], evidence=tuple(image.get("evidence", ())),
        klass=image["klass"], basis=image["basis"], care=image["care"], signer=image["signer"],
        signed_at=record.happened_at, two=bool(image.get("two")), seq=record.seq,
    )  # fmt: skip
    return {"verdicts": (*now["verdicts"], verdict)}


def _seconded(now: Changes, record: Written) -> Changes:
    verdict, second = record.image["verdict"], {"second": record.image["signer"], "second_at": record.happened_at}
    return {"verdicts": tuple(replace(one, **second) if one.id == verdict else one for one in now["verdicts"])}


def _went(now: Changes, record: Written) -> Changes:
    image = record.image
    told = {name: image[name] for name in ("load", "drum", "certificate", "firm", "on") if name in image}
    return {"fates": (*now["fates"], FateNow(what=image["what"], at=record.happened_at, **told))}


STEPS: Mapping[str, Callable[[Changes, Written], Changes]] = {
    "hazmat.look": _looked,
    "hazmat.isolation": _isolated,
    "hazmat.assessment": _assessed,
    "hazmat.photograph": _pictured,
    "hazmat.paper": _issued,
    "hazmat.seal": _sealed,
    "hazmat.space": _spaced,
    "hazmat.partoff": _taken_off,
    "hazmat.bottle": _labelled,
    "hazmat.hand": _handed,
    "hazmat.result": _resulted,
    "hazmat.screen": _screened,
    "hazmat.secondreading": _read_again,
    "hazmat.breakdown": _broke_down,
    "hazmat.touch": _touched,
    "hazmat.condition": _conditioned,
    "hazmat.clues": _clued,
    "hazmat.extension": _extended,
    "hazmat.sidehazards": _walked,
    "hazmat.verdict": _signed,
    "hazmat.second": _seconded,
    "hazmat.fate": _went,
}
"""What each kind of record changes. A kind that is not here says nothing about how a unit stands."""

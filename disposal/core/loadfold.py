"""How a load's standing follows from what was written about it: one step a record, in order of happening."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from disposal.core.loadnow import CertificateNow, ItemNow, LoadNow, SignedNow
from hazmat.core.unitfold import Written

Names = Mapping[str, str]
"""What the things that records name by id are called: codes of drums, tags of units, names of firms. None changes."""
Changes = Mapping[str, Any]
"""Fields of a standing, by name: those that a record gives another value."""
PLANNED = "disposal.load"


def place(record: Written) -> tuple[bool, str, int, str, str]:
    """Where a record stands in a fold: the load itself first, then as things happened and were written."""
    begins = record.table == PLANNED and "of" not in record.image
    return not begins, record.happened_at, int(record.seq), record.table, record.id


def folded(records: Iterable[Written], names: Names) -> LoadNow | None:
    """The standing after all records of one load; None where none of them plans it."""
    now: dict[str, Any] = {}
    for record in sorted(records, key=place):
        change = STEPS.get(record.table)
        if not now and record.table == PLANNED and "of" not in record.image:
            now = dict(vars(_begun(record, names)))
        elif now and change:
            latest, seq = max(now["happened_at"], record.happened_at), max(int(now["seq"]), int(record.seq))
            now.update(change(now, record, names), happened_at=latest, seq=str(seq))
    return LoadNow(**now) if now else None


def _begun(record: Written, names: Names) -> LoadNow:
    return LoadNow(
        load=record.id, yard=record.yard, number=record.image["number"], planned_at=record.happened_at, seq=record.seq,
        happened_at=record.happened_at, **_plan(record, names),
    )  # fmt: skip


def _plan(record: Written, names: Names) -> dict[str, Any]:
    """Who carries it, where it goes, and what else a plan says."""
    image = record.image
    return {
        "carrier": image["carrier"], "carrier_name": names[image["carrier"]], "facility": image["facility"],
        "facility_name": names[image["facility"]], "official": image.get("official", ""),
        "note": image.get("note", ""),
    }  # fmt: skip


def _changed(now: Changes, record: Written, names: Names) -> Changes:
    return _plan(record, names)


def _put(now: Changes, record: Written, names: Names) -> Changes:
    """An item goes on; one that replaces another takes that one off."""
    image = record.image
    if record.replaces is not None:
        return _items(now, record.replaces, off=image.get("off", ""))
    thing = "drum" if "drum" in image else "unit"
    item = ItemNow(id=record.id, thing=thing, of=image[thing], code=names[image[thing]], kg=image.get("kg", ""))  # type: ignore[arg-type]
    return {"items": (*now["items"], item)}


def _signed(now: Changes, record: Written, names: Names) -> Changes:
    image = record.image
    signed = SignedNow(
        record=record.id, party=image["party"], inked=image["inked"], at=record.happened_at, file=image.get("file", "")
    )
    return {"signatures": (*now["signatures"], signed)}


def _received(now: Changes, record: Written, names: Names) -> Changes:
    """What the facility says of one item; of one that was missing it may say something else later."""
    image = record.image
    said = {"arrival": image["arrival"], "kg_received": image.get("kg", ""), "note": image.get("note", "")}
    return {**_items(now, image["item"], **said), "received_at": now["received_at"] or record.happened_at}


def _extra(now: Changes, record: Written, names: Names) -> Changes:
    return {"extra": record.image["says"]}


def _settled(now: Changes, record: Written, names: Names) -> Changes:
    """How a difference was settled: that of an item, or of what stands on no list."""
    image = record.image
    if "item" in image:
        return _items(now, image["item"], settled=image["says"])
    return {"extra_settled": image["says"]}


def _certified(now: Changes, record: Written, names: Names) -> Changes:
    image = record.image
    certificate = CertificateNow(
        id=record.id, number=image["number"], issued_on=image["issued_on"], at=record.happened_at,
        done_on=image.get("done_on", ""), file=image.get("file", ""), file_kind=image.get("file_kind", ""),
    )  # fmt: skip
    return {"certificates": (*now["certificates"], certificate)}


def _proven(now: Changes, record: Written, names: Names) -> Changes:
    """One line of a certificate proves one item, on the day that it was done, else on the day of the certificate."""
    image = record.image
    of = {one.id: one for one in now["certificates"]}[image["certificate"]]
    more = replace(of, items=(*of.items, image["item"]))
    certificates = tuple(more if one is of else one for one in now["certificates"])
    return {
        **_items(now, image["item"], certificate=of.number, proven_on=of.done_on or of.issued_on),
        "certificates": certificates,
    }


def _closed(now: Changes, record: Written, names: Names) -> Changes:
    return {"closed_at": record.happened_at}


def _items(now: Changes, id: str, **said: str) -> dict[str, Any]:
    """The items, with this said of one of them."""
    return {"items": tuple(replace(one, **said) if one.id == id else one for one in now["items"])}


STEPS: Mapping[str, Callable[[Changes, Written, Names], Changes]] = {
    PLANNED: _changed,
    "disposal.item": _put,
    "disposal.signature": _signed,
    "disposal.received": _received,
    "disposal.extra": _extra,
    "disposal.settled": _settled,
    "disposal.certificate": _certified,
    "disposal.proof": _proven,
    "disposal.closed": _closed,
}
"""What each kind of record changes. A kind that is not here says nothing about how a load stands."""

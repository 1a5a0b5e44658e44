"""What happened to drums and units on loads: loaded, taken off, signed for, received or refused, proven."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from uuid import UUID

from disposal.core.drumfold import Carried
from disposal.core.loadnow import Thing
from disposal.models import Certificate, Item, Load, Proof, Received, Signature
from disposal.queries.afresh import placed
from hazmat.book.canonical import instant
from hazmat.book.standing import Moment

Told = tuple[Carried, Moment]


def on_loads(loads: Collection[UUID]) -> set[UUID]:
    """The drums that are, or ever were, on these loads."""
    return set(Item.objects.filter(load__in=loads, drum__isnull=False).values_list("drum", flat=True))


def carried(
    things: Collection[UUID], at: int | None, when: Moment | None, kind: Thing = "drum"
) -> dict[UUID, list[Told]]:
    """What happened to each of these drums, or units, on loads."""
    items = placed(Item, at, when, **{f"{kind}__in": things})
    found: dict[UUID, list[Told]] = defaultdict(list)
    if not items:
        return found
    numbers = dict(Load.objects.filter(pk__in={item.load_id for item, _ in items}).values_list("pk", "number"))
    received = placed(Received, at, when, **{f"{kind}__in": things})
    proofs = placed(Proof, at, when, **{f"{kind}__in": things})
    for thing, one, moment in (
        *_loaded(items, numbers),
        *_signed(items, numbers, at, when),
        *_received(received, numbers),
        *_proven(proofs, numbers),
    ):
        found[thing].append((one, moment))
    return found


def _told(what: str, load: str, moment: Moment, certificate: str = "") -> Carried:
    told = {"at": instant(moment.happened_at), "seq": moment.seq, "load": load, "certificate": certificate}
    return Carried(what=what, **told)  # type: ignore[arg-type]  # one of the words that Carried takes


def _of(record: Item | Received | Proof) -> UUID:
    """The drum or the unit that a record of a load names. Raises LookupError where it names neither."""
    found = record.drum_id or record.unit_id
    if found is None:
        raise LookupError(f"{record.pk} names no drum and no unit")
    return found


def _loaded(items: list[tuple[Item, Moment]], numbers: dict[UUID, str]) -> Iterator[tuple[UUID, Carried, Moment]]:
    for item, moment in items:
        yield _of(item), _told("off" if item.off else "on", numbers[item.load_id], moment), moment


def _signed(
    items: list[tuple[Item, Moment]], numbers: dict[UUID, str], at: int | None, when: Moment | None
) -> Iterator[tuple[UUID, Carried, Moment]]:
    """Each signature under a load, for everything that was on it then."""
    signatures = placed(Signature, at, when, load__in=numbers)
    for signature, moment in signatures:
        aboard: dict[UUID, bool] = {}
        for item, loaded in items:
            if item.load_id == signature.load_id and loaded.place <= moment.place:
                aboard[_of(item)] = not item.off
        what = "taken" if signature.party == "carrier" else "signed"
        for thing in (thing for thing, on in aboard.items() if on):
            if signature.party != "facility":
                yield thing, _told(what, numbers[signature.load_id], moment), moment


def _received(
    received: list[tuple[Received, Moment]], numbers: dict[UUID, str]
) -> Iterator[tuple[UUID, Carried, Moment]]:
    for one, moment in received:
        yield _of(one), _told(one.arrival, numbers[one.load_id], moment), moment


def _proven(proofs: list[tuple[Proof, Moment]], numbers: dict[UUID, str]) -> Iterator[tuple[UUID, Carried, Moment]]:
    named = {proof.certificate_id for proof, _ in proofs}
    certificates = dict(Certificate.objects.filter(pk__in=named).values_list("pk", "number"))
    for proof, moment in proofs:
        yield _of(proof), _told("proven", numbers[proof.load_id], moment, certificates[proof.certificate_id]), moment

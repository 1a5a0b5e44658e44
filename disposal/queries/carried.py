"""What happened to drums on loads: loaded, taken off, signed for, received or refused, proven."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from uuid import UUID

from disposal.core.drumfold import Carried
from disposal.models import Certificate, Item, Load, Proof, Received, Signature
from disposal.queries.afresh import placed
from hazmat.book.canonical import instant
from hazmat.book.standing import Moment

Told = tuple[Carried, Moment]


def on_loads(loads: Collection[UUID]) -> set[UUID]:
    """The drums that are, or ever were, on these loads."""
    return set(Item.objects.filter(load__in=loads, drum__isnull=False).values_list("drum", flat=True))


def carried(drums: Collection[UUID], at: int | None, when: Moment | None) -> dict[UUID, list[Told]]:
    """What happened to each of these drums on loads."""
    items = placed(Item, at, when, drum__in=drums)
    found: dict[UUID, list[Told]] = defaultdict(list)
    if not items:
        return found
    numbers = dict(Load.objects.filter(pk__in={item.load_id for item, _ in items}).values_list("pk", "number"))
    for drum, one, moment in (
        *_loaded(items, numbers),
        *_signed(items, numbers, at, when),
        *_received(drums, numbers, at, when),
        *_proven(drums, numbers, at, when),
    ):
        found[drum].append((one, moment))
    return found


def _told(what: str, load: str, moment: Moment, certificate: str = "") -> Carried:
    told = {"at": instant(moment.happened_at), "seq": moment.seq, "load": load, "certificate": certificate}
    return Carried(what=what, **told)  # type: ignore[arg-type]  # one of the words that Carried takes


def _loaded(items: list[tuple[Item, Moment]], numbers: dict[UUID, str]) -> Iterator[tuple[UUID, Carried, Moment]]:
    for item, moment in items:
        if item.drum_id:
            yield item.drum_id, _told("off" if item.off else "on", numbers[item.load_id], moment), moment


def _signed(
    items: list[tuple[Item, Moment]], numbers: dict[UUID, str], at: int | None, when: Moment | None
) -> Iterator[tuple[UUID, Carried, Moment]]:
    """Each signature under a load, for every drum that was on it then."""
    signatures = placed(Signature, at, when, load__in=numbers)
    for signature, moment in signatures:
        aboard: dict[UUID, bool] = {}
        for item, loaded in items:
            if item.load_id == signature.load_id and item.drum_id and loaded.place <= moment.place:
                aboard[item.drum_id] = not item.off
        what = "taken" if signature.party == "carrier" else "signed"
        for drum in (drum for drum, on in aboard.items() if on):
            if signature.party != "facility":
                yield drum, _told(what, numbers[signature.load_id], moment), moment


def _received(
    drums: Collection[UUID], numbers: dict[UUID, str], at: int | None, when: Moment | None
) -> Iterator[tuple[UUID, Carried, Moment]]:
    for one, moment in placed(Received, at, when, drum__in=drums):
        if one.drum_id:
            yield one.drum_id, _told(one.arrival, numbers[one.load_id], moment), moment


def _proven(
    drums: Collection[UUID], numbers: dict[UUID, str], at: int | None, when: Moment | None
) -> Iterator[tuple[UUID, Carried, Moment]]:
    proofs = placed(Proof, at, when, drum__in=drums)
    named = {proof.certificate_id for proof, _ in proofs}
    certificates = dict(Certificate.objects.filter(pk__in=named).values_list("pk", "number"))
    for proof, moment in proofs:
        if proof.drum_id:
            told = _told("proven", numbers[proof.load_id], moment, certificates[proof.certificate_id])
            yield proof.drum_id, told, moment

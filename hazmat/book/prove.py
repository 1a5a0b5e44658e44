"""Shows that nothing was changed since it was written: chain, rows, asides, files, papers, standings, guards.

What cannot be seen from inside: that the last entries were cut off together with their rows and the head. Keep the
hash of the head elsewhere from time to time, and hold the book against it (`prove --head`).
"""

from collections.abc import Callable, Iterator, Mapping
from hashlib import sha256
from itertools import islice
from typing import Any
from uuid import UUID

import msgspec
from django.apps import apps
from django.db import connection

from hazmat.book import files, guards
from hazmat.book.aside import Aside
from hazmat.book.canonical import canonical, dumps, instant
from hazmat.book.entry import Entry
from hazmat.book.record import Record, label, record_classes
from hazmat.book.rows import BATCH, Images, Named, Proof
from hazmat.book.standing import Fold, folds
from hazmat.core.chain import NOTHING_BEFORE, aside_digest, link
from hazmat.core.codes import code_of

_decode = msgspec.json.Decoder().decode
Progress = Callable[[int], None]


def prove(progress: Progress = lambda done: None, heads: Mapping[str, tuple[int, str]] | None = None) -> Proof:
    """The whole book. `heads`: by yard code, a sequence number and the hash that was noted for it elsewhere."""
    proof = Proof()
    for table in guards.missing(connection):
        proof.faults.append(f"the table {table} has lost its guard; run manage.py migrate")
    named = Named()
    for yard in _yards():
        proof.faults += prove_chain(yard, proof, named, progress, (heads or {}).get(yard.code))
    proof.faults += _unnamed_rows()
    proof.faults += _asides(named)
    proof.faults += _files(named, proof)
    _papers(proof)
    for yard in _yards():
        proof.faults += prove_standings(yard, proof)
    proof.remarks += [f"personal data of {record} were erased by entry {seq}" for record, seq in named.erased.items()]
    return proof


def prove_yard(yard: Any) -> Iterator[str]:
    """Chain, images against rows and standings of one yard: each fault one sentence."""
    proof = Proof()
    yield from prove_chain(yard, proof, Named(), lambda done: None, None)
    yield from prove_standings(yard, proof)


def _yards() -> list[Any]:
    return list(apps.get_model("hazmat", "Yard")._default_manager.order_by("code"))


# ------------------------------------------------------------------ chain and rows


def prove_chain(
    yard: Any, proof: Proof, named: Named, progress: Progress, noted: tuple[int, str] | None
) -> Iterator[str]:
    """Hashes, sequence, helper columns and the rows that each entry names."""
    previous, seq = NOTHING_BEFORE, 0
    fields = ("id", "seq", "act", "verb", "by_id", "happened_at", "recorded_at", "body", "hash")
    rows = Entry.objects.filter(yard=yard.pk).order_by("seq").values_list(*fields).iterator(chunk_size=BATCH)
    images = Images(yard)
    while batch := list(islice(rows, BATCH)):
        bodies = []
        for entry, at, *told, body, hash in batch:
            seq += 1
            where = f"yard {yard.code}, entry {at}"
            if at != seq:
                yield f"{where}: entry {seq} should stand here; one was taken out or put in"
                seq = at
            raw = body.encode()
            if link(previous, raw).hex() != hash:
                yield f"{where}: its text or its hash was changed, or the entry before it was"
            previous = _hash(hash)
            found = _read(raw)
            if found is None:
                yield f"{where}: its text is no entry"
                continue
            if noted and noted[0] == at and noted[1] != hash:
                yield f"{where}: its hash is not the one that was noted elsewhere"
            yield from (f"{where}: {says}" for says in _columns(yard, at, told, found, raw))
            bodies.append((entry, at, found))
        yield from images.held_against(bodies, proof, named)
        proof.entries += len(batch)
        progress(proof.entries)
    if noted and noted[0] > seq:
        yield f"yard {yard.code}: entry {noted[0]} was noted elsewhere and is not here; the end of the book is cut off"
    if (yard.seq, yard.head) != (seq, previous.hex()):
        yield f"yard {yard.code}: its head names entry {yard.seq}, and the last one that stands here is {seq}"


def _hash(text: str) -> bytes:
    try:
        found = bytes.fromhex(text)
    except ValueError:
        return NOTHING_BEFORE
    return found if len(found) == len(NOTHING_BEFORE) else NOTHING_BEFORE


def _read(raw: bytes) -> dict[str, Any] | None:
    try:
        found = _decode(raw)
    except msgspec.DecodeError:
        return None
    keys = {"v", "yard", "seq", "act", "verb", "by", "happened_at", "recorded_at", "records", "files"}
    return found if isinstance(found, dict) and keys <= set(found) else None


def _columns(yard: Any, seq: int, told: list[Any], body: Mapping[str, Any], raw: bytes) -> Iterator[str]:
    """The helper columns of an entry against its text, and the text against its own spelling."""
    act, verb, by, happened_at, recorded_at = told
    wanted = {
        "yard": str(yard.pk), "seq": str(seq), "act": str(act), "verb": verb, "by": str(by),
        "happened_at": instant(happened_at), "recorded_at": instant(recorded_at),
    }  # fmt: skip
    for name, value in wanted.items():
        if body[name] != value:
            yield f"its column {name} says {value}, its text says {body[name]}"
    if dumps(body) != raw:
        yield "its text is not in the one spelling"


def _unnamed_rows() -> Iterator[str]:
    """Rows that no entry names: their number must be that of the records in the entries."""
    for kind in record_classes():
        lost = kind._default_manager.exclude(entry__in=Entry.objects.values("pk")).values_list("pk", flat=True)
        for record in lost[:BATCH]:
            yield f"{label(kind)} {record} points at no entry"
        for record in _strangers(kind):
            yield f"{label(kind)} {record} is named by no entry: it was added past the book"


def _strangers(kind: type[Record]) -> Iterator[UUID]:
    """Rows whose own entry does not hold their id."""
    rows = kind._default_manager.order_by("entry").values_list("pk", "entry").iterator(chunk_size=BATCH)
    while batch := list(islice(rows, BATCH)):
        entries = {entry for _, entry in batch}
        bodies: dict[UUID, str] = {}
        keys = list(entries)
        for start in range(0, len(keys), BATCH // 2):
            some = keys[start : start + BATCH // 2]
            bodies.update(Entry.objects.filter(pk__in=some).values_list("pk", "body"))
        for record, entry in batch:
            if entry in bodies and f'"id":"{record}"' not in bodies[entry]:
                yield record


# ------------------------------------------------------------------ beside the rows


def _asides(named: Named) -> Iterator[str]:
    """Personal data against their digests; missing ones only where an entry erased them."""
    seen = set()
    for aside in Aside.objects.order_by("record").iterator(chunk_size=BATCH):
        record = str(aside.record)
        seen.add(record)
        if record not in named.asides:
            yield f"the personal data of {record} are named by no entry"
            continue
        digest, seq = named.asides[record]
        try:
            right = aside_digest(bytes.fromhex(aside.salt), aside.body.encode()) == digest
        except ValueError:
            right = False
        if not right:
            yield f"the personal data of {record} (entry {seq}) were changed"
    for record, (_, seq) in named.asides.items():
        if record not in seen and record not in named.erased:
            yield f"the personal data of {record} (entry {seq}) are gone, and no entry erased them"


def _files(named: Named, proof: Proof) -> Iterator[str]:
    """Every byte of every file that an entry names."""
    for digest, says in named.files.items():
        proof.files += 1
        try:
            path = files.path_of(digest)
            right = path.is_file() and _digest(path) == digest
            missing = not path.is_file()
        except ValueError:
            right, missing = False, True
        if not right:
            yield f"{says} ({digest}) is gone" if missing else f"{says} ({digest}) was changed"
    orphans = sum(1 for digest in files.kept() if digest not in named.files)
    if orphans:
        proof.remarks.append(f"{orphans} files are named by no entry; they are swept when they are a week old")


def _digest(path: Any) -> str:
    found = sha256()
    with path.open("rb") as file:
        while block := file.read(1 << 20):
            found.update(block)
    return found.hexdigest()


def _papers(proof: Proof) -> None:
    """Payload, digest and check code of every paper; those without a seal are said and no fault."""
    model = apps.get_model("hazmat", "Paper")
    for paper in model._default_manager.select_related("seal", "yard").order_by("yard", "entry__seq").iterator(BATCH):
        proof.papers += 1
        where = f"yard {paper.yard.code}, paper {paper.number}"
        if _payload_digest(paper.payload) != paper.digest:
            proof.faults.append(f"{where}: its words are not those of its digest")
        if _code(paper.digest) != paper.code:
            proof.faults.append(f"{where}: its check code is not that of its digest")
        if getattr(paper, "seal", None) is None:
            proof.remarks.append(f"{where} is not sealed")


def prove_standings(yard: Any, proof: Proof) -> Iterator[str]:
    """Every kept standing against the fold of its records."""
    for fold in folds():
        things = iter(fold.things(yard.pk))
        while batch := list(islice(things, BATCH)):
            proof.standings += len(batch)
            for says in _folded(fold, batch):
                yield f"yard {yard.code}: {says}"
        for says in fold.strangers(yard.pk):
            yield f"yard {yard.code}: {says}"


BROKEN = (ValueError, KeyError, TypeError, AttributeError, LookupError)
"""What a fold meets in records that somebody changed."""


def _folded(fold: Fold, things: list[UUID]) -> list[str]:
    """What differs; where records are so broken that nothing can be folded, that is said of each thing."""
    try:
        return fold.differs(things)
    except BROKEN:
        if len(things) == 1:
            return [f"{fold.name} {things[0]} cannot be folded: its records are broken"]
    return [says for thing in things for says in _folded(fold, [thing])]


def _code(digest: str) -> str:
    """The check code of a digest; nothing where it is none."""
    try:
        return code_of(digest)
    except ValueError:
        return ""


def _payload_digest(text: str) -> str:
    """The SHA-256 of a payload in its one spelling; nothing where the text is none."""
    try:
        return sha256(canonical(_decode(text))).hexdigest()
    except (msgspec.DecodeError, ValueError, TypeError):
        return ""

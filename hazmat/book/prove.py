"""Shows that nothing was changed since it was written: chain, rows, asides, files, papers, laws, standings, guards.

What cannot be seen from inside: that the last entries were cut off together with their rows and the head, or that a
whole yard was taken away. Keep the hash of the head elsewhere from time to time, and hold the book against it
(`prove --head`). People's names and sign-in names, and the code of a yard, stand in no entry.
"""

import gc
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from operator import attrgetter
from typing import Any

from django.apps import apps
from django.db import DataError, connection

from hazmat.book import beside, guards, raw
from hazmat.book.entry import Entry
from hazmat.book.folding import Standings
from hazmat.book.raw import BATCH, key_of
from hazmat.book.rows import Images, Named, Placed, Proof
from hazmat.book.told import Told, read
from hazmat.core.chain import NOTHING_BEFORE, link

Progress = Callable[[int], None]
Head = tuple[str, int, str]
"""A yard's code, a sequence number, and the hash that was noted for it elsewhere."""
HELPERS = ("act", "verb", "by", "happened_at", "recorded_at")
"""Columns that help to find an entry, and stand in its text too."""
FIRST = -(1 << 63)
"""No sequence number lies before it: the column holds 64 bits."""


def prove(progress: Progress = lambda done: None, heads: Iterable[Head] = ()) -> Proof:
    """The whole book as at one moment, while others go on writing."""
    proof, named = Proof(), Named()
    with raw.one_moment(), _no_collector():
        lost = guards.missing(connection)
        proof.faults += [f"the table {one} has lost its guard; run manage.py migrate" for one in lost]
        found, noted = _yards(), list(heads)
        yards = {key_of(str(yard.pk)): yard.code for yard in found}
        for code in dict.fromkeys(code for code, _, _ in noted):
            if code not in yards.values():
                proof.faults.append(f"yard {code} was noted elsewhere and is not in this book")
        for yard in found:
            mine = [(seq, hash) for code, seq, hash in noted if code == yard.code]
            proof.faults += prove_chain(yard, proof, named, progress, mine)
        proof.faults += beside.unnamed_rows(named, proof, yards)
        proof.faults += beside.people(yards)
        proof.faults += beside.editions()
        proof.faults += beside.personal(named, proof, yards)
        proof.faults += beside.kept_files(named, proof)
        proof.faults += beside.papers(proof, yards)
    proof.faults = [_printable(says) for says in proof.faults]
    return proof


def _printable(says: str) -> str:
    """A sentence that any terminal and any file can hold, whatever stood in the book."""
    return "".join(one if one.isprintable() else one.encode("unicode_escape", "surrogatepass").decode() for one in says)


@contextmanager
def _no_collector() -> Iterator[None]:
    """Nothing here points at itself, so looking for such things would cost a third more and find nothing."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _yards() -> list[Any]:
    """Raises DataError where a row of a yard holds what no yard can have: nothing could be placed then."""
    try:
        return list(apps.get_model("hazmat", "Yard")._default_manager.order_by("code"))
    except (ValueError, TypeError) as wrong:
        raise DataError(f"the row of a yard was changed into none, {wrong}") from None


def prove_chain(
    yard: Any, proof: Proof, named: Named, progress: Progress, noted: Sequence[tuple[int, str]]
) -> Iterator[str]:
    """Hashes, sequence, helper columns, the rows that each entry names, and the standings that follow from them."""
    chain, images, folded = _Chain(yard, noted), Images(yard), Standings(yard)
    while batch := chain.batch():
        entries = []
        for row in batch:
            yield from chain.faults(row)
            if chain.placed:
                entries.append(chain.placed)
        yield from images.held_against(entries, proof, named, folded.take)
        yield from folded.faults(proof)
        proof.entries += len(batch)
        progress(proof.entries)
    yield from chain.end()
    yield from folded.rest(proof)


class _Chain:
    """The entries of one yard, one after the other. `placed`: the last one, where its text could be read."""

    def __init__(self, yard: Any, noted: Sequence[tuple[int, str]]) -> None:
        self.yard, self.key, self.noted = yard, str(yard.pk), dict.fromkeys(noted, False)
        self.previous, self.seq, self.last = NOTHING_BEFORE, 0, FIRST
        self.placed: Placed | None = None
        fields = {one.name: raw.column(one) for one in Entry._meta.concrete_fields}
        self.helpers, self.says = [fields[name] for name in HELPERS], attrgetter(*HELPERS)
        columns = [fields["id"].sql, "seq", raw.as_bytes("body"), "hash", *(one.sql for one in self.helpers)]
        self.sql = (
            f"SELECT {', '.join(columns)} FROM {raw.table(Entry)} WHERE yard_id = %s AND seq > %s "
            f"ORDER BY seq LIMIT {BATCH}"
        )

    def batch(self) -> list[tuple[Any, ...]]:
        """The next entries as the database gives them."""
        found = raw.fetched(self.sql, [key_of(self.key), self.last])
        self.last = found[-1][1] if found else self.last
        return found

    def faults(self, row: tuple[Any, ...]) -> Iterator[str]:
        """What is wrong with one entry."""
        entry, at, body, hash, *helpers = row
        self.placed, body, where = None, bytes(body), f"yard {self.yard.code}, entry {at}"
        self.seq += 1
        if at != self.seq:
            yield f"{where}: entry {self.seq} should stand here; one was taken out or put in"
            self.seq = at if type(at) is int else self.seq
        if link(self.previous, body).hex() != hash:
            yield f"{where}: its text or its hash was changed, or the entry before it was"
        self.previous = _hash(hash)
        for seq, other in self.noted:
            if seq == at:
                self.noted[seq, other] = True
                if other != hash:
                    yield f"{where}: its hash is not the one that was noted elsewhere"
        told = read(body)
        if told is None:
            yield f"{where}: its text is no entry"
            return
        for says in self._columns(told, at, helpers):
            yield f"{where}: {says}"
        self.placed = Placed(entry, at, body, told)

    def _columns(self, told: Told, at: int, helpers: list[Any]) -> Iterator[str]:
        """The columns that help to find an entry against its text."""
        if told.yard != self.key:
            yield f"its text is one of another yard, {told.yard}"
        if told.seq != str(at):
            yield f"its column seq says {at}, its text says {told.seq}"
        for column, held, plain in zip(self.helpers, helpers, self.says(told), strict=True):
            if not column.agrees(held, plain):
                yield f"its column {column.name} says {held}, its text says {plain}"

    def end(self) -> Iterator[str]:
        """What is wrong once the last entry was met."""
        yard, where = self.yard, f"yard {self.yard.code}"
        for (seq, _), met in self.noted.items():
            if not met:
                cut = "; the end of the book is cut off" if seq > self.seq else ""
                yield f"{where}: entry {seq} was noted elsewhere and is not here{cut}"
        if yard.seq != self.seq:
            yield f"{where}: its head names entry {yard.seq}, and the last one that stands here is {self.seq}"
        elif yard.head != self.previous.hex():
            yield f"{where}: its head holds another hash than its last entry, {self.seq}"


def _hash(text: str) -> bytes:
    try:
        found = bytes.fromhex(text)
    except ValueError:
        return NOTHING_BEFORE
    return found if len(found) == len(NOTHING_BEFORE) else NOTHING_BEFORE

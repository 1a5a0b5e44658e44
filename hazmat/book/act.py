"""The one place that saves. Every action opens `with book(order, verb) as act:` and hands its records to the act."""

import functools
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from hazmat.book import head, standing
from hazmat.book.aside import Aside, new_aside
from hazmat.book.canonical import FORMAT, dumps, instant, plain
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.book.receipt import Receipt, receipt_of
from hazmat.book.record import Record, label
from hazmat.core.chain import link

Kind = TypeVar("Kind", bound=Record)
Action = TypeVar("Action", bound=Callable[..., Receipt])


class Refused(Exception):
    """An act that cannot be written as things stand: one sentence for the person."""


class AlreadyWritten(Exception):
    """This act stands in the book; `receipt` is what it got then."""

    def __init__(self, receipt: Receipt) -> None:
        super().__init__(f"written as entry {receipt.seq}")
        self.receipt = receipt


@dataclass(frozen=True, kw_only=True)
class Order:
    """Who asks for an act, in which yard, and when it happened. `act`: the id that the form has carried from birth.

    `said`: why, in the person's words; `device`: the phone that an act was first kept on; `zone`: an IANA zone.
    """

    yard: UUID
    by: UUID
    act: UUID
    happened_at: datetime
    zone: str
    said: str | None = None
    device: str | None = None


@dataclass
class Act:
    """An act being written: its records, asides and files. Nothing is saved before the block ends."""

    order: Order
    verb: str
    seq: int
    previous: bytes
    entry: UUID = field(default_factory=new_id)
    recorded_at: datetime = field(default_factory=timezone.now)
    records: list[Record] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)
    files: list[dict[str, str]] = field(default_factory=list)
    written: Receipt | None = None

    def write(self, record: Kind, aside: Mapping[str, Any] | None = None) -> Kind:
        """Take a record into this act, with its personal part; it is given its yard and entry."""
        record.yard_id, record.entry_id = self.order.yard, self.entry
        record.spell()
        if aside and any(word not in (None, "") for word in aside.values()):
            beside = new_aside(record.id, self.order.yard, aside)
            record.aside = beside.digest()
            self.asides.append(beside)
        self.records.append(record)
        return record

    def name_file(self, sha256: str, name: str) -> None:
        """Name a file, already kept under its SHA-256, that this act rests on."""
        self.files.append({"sha256": sha256, "name": name})

    @property
    def receipt(self) -> Receipt:
        """What the act got. Raises RuntimeError before the block has ended."""
        if self.written is None:
            raise RuntimeError("an act has its receipt once its block has ended")
        return self.written


def entry_body(act: Act) -> bytes:
    """The bytes that are hashed: the final format of an entry, by RFC 8785."""
    order = act.order
    told = plain({
        "yard": order.yard, "seq": act.seq, "act": order.act, "verb": act.verb, "by": order.by,
        "said": order.said or None, "device": order.device or None, "happened_at": order.happened_at,
        "zone": order.zone, "recorded_at": act.recorded_at, "files": act.files,
        "records": [_named(record) for record in act.records],
    })  # fmt: skip
    return dumps({"v": FORMAT, **told})


def _named(record: Record) -> dict[str, Any]:
    return {
        "table": label(type(record)),
        "id": record.id,
        "replaces": record.replaces_id,
        "aside": record.aside or None,
        "image": record.image(),
    }


@contextmanager
def book(order: Order, verb: str) -> Iterator[Act]:
    """Open the book of a yard for one act; the entry is the last thing written.

    The yard's head row is locked before anything is read, so that nothing checked in the block can change under it.
    Raises AlreadyWritten where this act stands in the book, Refused where its id was used for something else. No PDF,
    picture or network belongs into the block.
    """
    with transaction.atomic():
        seq, previous, written = head.locked(order.yard, order.act)
        if written:
            raise AlreadyWritten(_same(Entry.objects.get(act=order.act), order, verb))
        act = Act(order, verb, seq + 1, bytes.fromhex(previous))
        yield act
        _save(act)


def _same(first: Entry, order: Order, verb: str) -> Receipt:
    if (first.yard_id, first.by_id, first.verb) != (order.yard, order.by, verb):
        raise Refused("This form was already used for something else; open a fresh one and fill it in again.")
    return receipt_of(first, again=True)


def _save(act: Act) -> None:
    """Rows, asides, standings, head, entry: in this order, in the transaction of the block."""
    order = act.order
    kinds: dict[type[Record], list[Record]] = {}
    for record in act.records:
        kinds.setdefault(type(record), []).append(record)
    for kind, records in kinds.items():
        kind._default_manager.bulk_create(records)
    if act.asides:
        Aside.objects.bulk_create(act.asides)
    standing.keep(act.records, standing.Moment(order.happened_at, act.recorded_at, act.seq))
    body = entry_body(act)
    hash = link(act.previous, body).hex()
    head.write_entry(
        id=act.entry, yard=order.yard, seq=act.seq, act=order.act, verb=act.verb, by=order.by,
        happened_at=order.happened_at, recorded_at=act.recorded_at, body=body.decode(), hash=hash,
    )  # fmt: skip
    named = tuple((label(type(record)), record.id) for record in act.records)
    act.written = Receipt(
        order.act, order.yard, order.by, act.seq, act.verb, hash, instant(act.recorded_at), named
    )  # fmt: skip


VERBS: dict[str, Callable[..., Receipt]] = {}
"""Every act that can be written, by its verb: found by the tests, never typed into a list."""


def verb(action: Action) -> Action:
    """Make a function an act: asked for twice, it gives the first receipt again."""

    @functools.wraps(action)
    def once(*args: Any, **kwargs: Any) -> Receipt:
        try:
            return action(*args, **kwargs)
        except AlreadyWritten as first:
            return first.receipt

    VERBS[action.__name__] = once
    return once  # type: ignore[return-value]  # the same call, and a Receipt either way

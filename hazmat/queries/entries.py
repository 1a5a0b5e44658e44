"""Entries of the day-book: all of a yard, or those that tell of one thing."""

import operator
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import reduce
from typing import Any
from uuid import UUID

from django.db.models import Model, Q, QuerySet

from hazmat.book.canonical import parsed
from hazmat.book.entry import Entry
from hazmat.book.record import SPINE, Record, record_classes
from hazmat.models import Unit
from hazmat.queries.yards import names_of

SHOWN = 50
"""Entries that the page of a thing shows at once. Source: our own choice."""


@dataclass(frozen=True)
class Told:
    """One entry as a page draws it."""

    seq: int
    verb: str
    by_name: str
    happened_at: datetime
    recorded_at: datetime
    hash: str
    body: dict[str, Any]
    tag: str = ""
    """Of the unit that it tells of, where that was asked for."""

    @property
    def template(self) -> str:
        """The template that draws an entry of this verb."""
        return f"_acts/{self.verb}.html"

    @property
    def first(self) -> dict[str, Any]:
        """The record that the act is about."""
        found: dict[str, Any] = self.body["records"][0]
        return found


def naming(kind: type[Model]) -> list[tuple[type[Record], str]]:
    """The record classes that name a thing of this class, each with the column by which it does."""
    return [
        (one, field.attname)
        for one in record_classes()
        for field in one._meta.concrete_fields
        if field.related_model is kind and field.name not in SPINE
    ]


def entries_of(thing: UUID, kind: type[Record]) -> QuerySet[Entry]:
    """Every entry that tells of one thing: found through all records that name it."""
    told = [Q(pk__in=one._default_manager.filter(**{column: thing}).values("entry")) for one, column in naming(kind)]
    born = Q(pk__in=kind._default_manager.filter(pk=thing).values("entry"))
    return Entry.objects.filter(reduce(operator.or_, told, born)).order_by("-seq")


def day_book(yard: UUID, below: int | None = None, size: int = 50) -> list[Entry]:
    """Entries of a yard, the newest first, by key; one more than `size` if there is any."""
    found = Entry.objects.filter(yard=yard)
    if below is not None:
        found = found.filter(seq__lt=below)
    return list(found.order_by("-seq")[: size + 1])


def told(entries: Iterable[Entry], *, tagged: bool = False) -> list[Told]:
    """Entries as a page draws them, with the names of those who acted; `tagged`: with the tags of their units."""
    rows = list(entries)
    names, bodies = names_of(one.by_id for one in rows), [parsed(one.body) for one in rows]
    units = [_unit_of(body) if tagged else "" for body in bodies]
    tags = {str(key): tag for key, tag in Unit.objects.filter(pk__in=set(filter(None, units))).values_list("pk", "tag")}
    return [
        Told(
            one.seq, one.verb, names.get(one.by_id, ""), one.happened_at, one.recorded_at, one.hash, body,
            tags.get(unit, ""),
        )
        for one, body, unit in zip(rows, bodies, units, strict=True)
    ]  # fmt: skip


def past(thing: UUID, kind: type[Record], *, whole: bool = False) -> tuple[list[Told], bool]:
    """What is told of one thing, the newest first, and whether there is more of it than is shown.

    `whole`: all of it, and not only as much as a page shows at once.
    """
    found = list(entries_of(thing, kind)[: None if whole else SHOWN + 1])
    return told(found if whole else found[:SHOWN]), not whole and len(found) > SHOWN


def _unit_of(body: Mapping[str, Any]) -> str:
    """The unit that the first record of an entry is about, empty where it is about none."""
    found: str = body["records"][0]["image"].get("unit", "")
    return found

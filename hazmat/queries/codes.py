"""Codes that people type: whose each is, in one yard. Record classes say themselves that they have one."""

from typing import Any
from uuid import UUID

from django.db.models import CharField, Value

from hazmat.book.record import Record, record_classes


def coded_classes() -> list[type[Record]]:
    """The record classes whose things have a code of their own: found, not listed."""
    return [kind for kind in record_classes() if kind.coded]


def kind_of(yard: UUID, code: str) -> str:
    """What has this code in this yard, as the name of its record class and of its page (`unit`); empty where nothing.

    Asked in one statement of the database.
    """
    found: list[Any] = []
    for kind in coded_classes():
        rows = kind._default_manager.filter(yard=yard, **{kind.coded: code})
        word = Value(str(kind._meta.model_name), output_field=CharField())
        found.append(rows.annotate(_kind=word).order_by().values_list("_kind", flat=True))
    return next(iter(found[0].union(*found[1:])), "")

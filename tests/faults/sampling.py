"""What samples of acts are made with: an order in the yard of the cast, and its unit."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from hazmat.book.act import Order
from hazmat.models import Person, Unit
from tests.cast import Cast, order

Act = Callable[[], Any]
Sample = Callable[[Cast], tuple[Order, Act]]


def boss(cast: Cast) -> Person:
    return cast.people["boss"]


def asked(cast: Cast, **more: Any) -> Order:
    assert cast.yard_id is not None
    return order(cast.yard_id, boss(cast).pk, **more)


def unit_of(cast: Cast) -> UUID:
    found: UUID = Unit.objects.get(tag=cast.words["tag"]).pk
    return found

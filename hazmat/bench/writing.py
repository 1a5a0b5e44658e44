"""What writing costs: statements of one act, and a durable entry against a plain durable insert."""

import json
from datetime import date
from itertools import count

from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from hazmat.actions.units import log_unit
from hazmat.bench.seeded import PLACE, ZONE, seeded_yard
from hazmat.book.act import Order, book
from hazmat.book.ids import new_id
from hazmat.core.lookin import LookIn
from hazmat.edge.bench import Measured, measured
from hazmat.models import Person, Yard

FRAME = ("BEGIN", "COMMIT", "SAVEPOINT", "RELEASE SAVEPOINT")
"""Statements that only frame a transaction."""
LINE = {"kind": "transformer", "mounting": "pole", "built": "1968", "state": "intact", "plate_words": ["OIL 75 L"]}


def _order(yard: Yard, person: Person) -> Order:
    return Order(yard=yard.pk, by=person.pk, act=new_id(), happened_at=timezone.now(), zone=ZONE)


def act(n: int) -> Measured:
    """Statements of logging one unit, without those that frame the transaction; the floor is one."""
    yard, person = seeded_yard()
    look = LookIn(arrival="gate", line=LINE, sources={}, leak="none", note="", aside={"seller": "Somebody"})
    log_unit(_order(yard, person), look=look, place=PLACE)
    with CaptureQueriesContext(connection) as asked:
        log_unit(_order(yard, person), look=look, place=PLACE)
    statements = [one["sql"] for one in asked.captured_queries if not one["sql"].startswith(FRAME)]
    found = measured("act", 1, 12.0, lambda: None, lambda: None)
    return Measured("act", n, len(statements), 12.0, 1, len(statements), "statements", found.machine, found.day)


def entry(n: int) -> Measured:
    """n entries of a small act, each durable by itself, against as many plain inserts of the same text."""
    yard, person = seeded_yard()
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE bench_plain (n bigint PRIMARY KEY, body text NOT NULL)")
    numbers = count()
    told = {"yard": str(yard.pk), "by": str(person.pk), "words": "x" * 400, "day": date(2026, 11, 25).isoformat()}

    def floor() -> None:
        for _ in range(n):
            with transaction.atomic(), connection.cursor() as cursor:
                body = json.dumps(told)
                cursor.execute("INSERT INTO bench_plain (n, body) VALUES (%s, %s)", [next(numbers), body])

    def ours() -> None:
        for _ in range(n):
            with book(_order(yard, person), "bench"):
                pass

    return measured("entry", n, 1.6, floor, ours)

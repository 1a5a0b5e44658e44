"""What writing costs: statements of one act, and a durable entry against a plain durable insert."""

import json
from collections.abc import Callable
from datetime import date
from itertools import count

from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from hazmat.actions.results import enter_result
from hazmat.actions.units import log_unit
from hazmat.bench.seeded import BEGUN, PLACE, ZONE, seeded_yard
from hazmat.book.act import Order, book
from hazmat.book.ids import new_id
from hazmat.core.lookin import LookIn
from hazmat.core.reported import Reported
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
    return _counted("act", n, 12.0, lambda: log_unit(_order(yard, person), look=look, place=PLACE))


def result(n: int) -> Measured:
    """Statements of one laboratory result with its new assessment; the floor is one."""
    yard, person = seeded_yard()
    look = LookIn(arrival="gate", line=LINE, sources={}, leak="none", note="")
    unit = log_unit(_order(yard, person), look=look, place=PLACE).the("hazmat.unit")
    test = {"how": "laboratory", "on": BEGUN.date().isoformat(), "space": "tank", "value": "62", "unit": "mg/kg"}
    told = Reported(test=test, reported_on=BEGUN.date(), laboratory="Bench Two")
    enter_result(_order(yard, person), unit=unit, told=told, place=PLACE)
    return _counted("result", n, 16.0, lambda: enter_result(_order(yard, person), unit=unit, told=told, place=PLACE))


def _counted(name: str, n: int, goal: float, write: Callable[[], object]) -> Measured:
    """How many statements one act takes, without those that frame its transaction."""
    with CaptureQueriesContext(connection) as asked:
        write()
    count = sum(not one["sql"].startswith(FRAME) for one in asked.captured_queries)
    found = measured(name, 1, goal, lambda: None, lambda: None)
    return Measured(name, n, count, goal, 1, count, "statements", found.machine, found.day)


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

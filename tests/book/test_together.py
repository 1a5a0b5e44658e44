"""Two people at once: the same yard, the same form, different yards; nothing lost, nothing doubled, no error."""

import threading
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connections

from hazmat.actions.units import log_unit
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.book.receipt import Receipt
from hazmat.models import Unit, Yard
from tests.cast import Cast, look_in, opened, order

pytestmark = pytest.mark.both
PEOPLE, ACTS = 4, 6


def together(acts: list[Callable[[], Any]]) -> list[Any]:
    """What each of these gives when all begin at one moment."""
    start, found = threading.Barrier(len(acts)), dict[int, Any]()

    def run(place: int, act: Callable[[], Any]) -> None:
        start.wait()
        try:
            found[place] = act()
        except Exception as error:
            found[place] = error
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=(place, act)) for place, act in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return [found[place] for place in range(len(acts))]


def test_many_in_one_yard(live_cast: Cast) -> None:
    yard, boss = Yard.objects.get(code=live_cast.yard), live_cast.people["boss"]

    def work() -> list[Receipt]:
        return [log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ") for _ in range(ACTS)]

    before = yard.seq
    results = together([work] * PEOPLE)
    assert not [one for one in results if isinstance(one, Exception)]
    seqs = sorted(receipt.seq for one in results for receipt in one)
    assert seqs == list(range(before + 1, before + 1 + PEOPLE * ACTS))
    assert len(set(Unit.objects.values_list("tag", flat=True))) == 1 + PEOPLE * ACTS
    assert prove().faults == []


def test_one_form_sent_by_many_hands(live_cast: Cast) -> None:
    yard, boss = Yard.objects.get(code=live_cast.yard), live_cast.people["boss"]
    asked, before = order(yard.pk, boss.pk), Entry.objects.count()
    results = together([lambda: log_unit(asked, look=look_in(), place="NZ")] * PEOPLE)
    assert not [one for one in results if isinstance(one, Exception)]
    assert len({(one.seq, one.hash) for one in results}) == 1
    assert sorted(one.again for one in results) == [False, True, True, True]
    assert Entry.objects.count() == before + 1


def test_two_yards_do_not_wait_for_each_other_for_good(live_cast: Cast) -> None:
    boss = live_cast.people["boss"]
    yards = [Yard.objects.get(code=live_cast.yard), opened(boss, "Second")]

    def work(yard: Yard) -> Callable[[], list[int]]:
        return lambda: [log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ").seq for _ in range(ACTS)]

    before = [yard.seq for yard in yards]
    results = together([work(yard) for yard in yards])
    for first, seqs in zip(before, results, strict=True):
        assert seqs == list(range(first + 1, first + 1 + ACTS))
    assert prove().faults == []

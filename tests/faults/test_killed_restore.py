"""A restore that is killed half-way leaves the book that was here, whole; asked for again, it is done."""

from pathlib import Path

import pytest

from hazmat.actions.units import log_unit
from hazmat.book import guards
from hazmat.book.entry import Entry
from hazmat.book.keep import backup, restore
from hazmat.book.prove import prove
from tests.book.test_keep import emptied, rows
from tests.cast import Cast, look_in, order
from tests.faults.test_killed import killed, statements

pytestmark = pytest.mark.both
PLACES = 9


def test_a_restore_that_is_killed_changes_nothing(live_cast: Cast, tmp_path: Path) -> None:
    from django.db import connection

    old, new = tmp_path / "old.oilward", tmp_path / "new.oilward"
    backup(old)
    assert live_cast.yard_id is not None
    log_unit(order(live_cast.yard_id, live_cast.people["boss"].pk), look=look_in(), place="NZ")
    backup(new)
    wanted = rows()
    count = statements(lambda: restore(new))
    emptied()
    restore(old)
    before, entries = rows(), Entry.objects.count()
    for at in sorted({1 + place * (count - 1) // (PLACES - 1) for place in range(PLACES)}):
        killed(lambda: restore(new), at)
        assert rows() == before, f"killed at statement {at} of {count}"
        assert prove().faults == []
    killed(lambda: restore(new), None)
    assert rows() == wanted
    assert Entry.objects.count() == entries + 1
    assert guards.missing(connection) == []
    assert prove().faults == []


def test_a_backup_that_is_killed_gets_no_name(live_cast: Cast, tmp_path: Path) -> None:
    count = statements(lambda: backup(tmp_path / "counted"))
    for at in (1, count // 2, count):
        killed(lambda: backup(tmp_path / "book.oilward"), at)
        assert not (tmp_path / "book.oilward").exists()
    assert prove().faults == []
    assert backup(tmp_path / "book.oilward").rows

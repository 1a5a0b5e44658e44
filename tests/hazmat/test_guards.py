"""A table that lost its guard is named at start; migrating puts it on again."""

import pytest
from django.core.management import call_command
from django.db import connection

from hazmat.book import guards
from hazmat.conf.checks import every_guard


@pytest.mark.both
@pytest.mark.django_db
def test_a_lost_guard_is_named_and_put_on_again() -> None:
    assert every_guard(databases=["default"]) == []
    guards.remove(connection)
    found = every_guard(databases=["default"])
    assert {one.id for one in found} == {"hazmat.E002"}
    assert len(found) == len(guards.guarded())
    call_command("migrate", verbosity=0)
    assert every_guard(databases=["default"]) == []


@pytest.mark.both
@pytest.mark.django_db
@pytest.mark.parametrize("place", [0, 1])
def test_one_lost_guard_is_enough(place: int) -> None:
    table = guards.guarded()[0]._meta.db_table
    name = guards.names(table, connection.vendor)[place]
    on = f' ON "{table}"' if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(f'DROP TRIGGER "{name}"{on}')
    assert guards.missing(connection) == [table]

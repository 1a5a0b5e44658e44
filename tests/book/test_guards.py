"""What is written stays written: the database itself refuses to change it, in every way that we know."""

from typing import Any

import pytest
from django.db import IntegrityError, connection, models, transaction

from hazmat.book import guards
from tests.book.whole import whole_book
from tests.cast import Cast

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@pytest.fixture
def whole() -> Cast:
    """The whole book."""
    return whole_book()


def refused(act: Any) -> None:
    with pytest.raises(IntegrityError, match="what is written stays written"), transaction.atomic():
        act()


@pytest.mark.parametrize("model", guards.guarded(), ids=lambda model: model.__name__)
def test_every_way_of_changing_a_row_is_refused(model: type[models.Model], whole: Cast) -> None:
    rows = model._default_manager
    one = rows.first()
    assert one is not None
    table = connection.ops.quote_name(model._meta.db_table)
    key = one.pk if connection.features.has_native_uuid_field else one.pk.hex

    def raw(sql: str, *params: Any) -> None:
        with connection.cursor() as cursor:
            cursor.execute(sql, params)

    refused(one.save)
    refused(lambda: rows.filter(pk=one.pk).update(yard=one.yard_id))  # type: ignore[attr-defined]
    refused(lambda: rows.bulk_update([one], ["yard"]))
    refused(lambda: rows.filter(pk=one.pk)._raw_delete(connection.alias))
    refused(lambda: raw(f"UPDATE {table} SET yard_id = yard_id WHERE id = %s", key))
    refused(lambda: raw(f"DELETE FROM {table} WHERE id = %s", key))
    if connection.vendor == "sqlite":
        columns = ", ".join(connection.ops.quote_name(str(one.column)) for one in model._meta.concrete_fields)
        same = f"SELECT {columns} FROM {table} WHERE id = %s"
        refused(lambda: raw(f"INSERT OR REPLACE INTO {table} ({columns}) {same}", key))
        return
    guards.settle(connection)
    refused(lambda: raw(f"TRUNCATE {table} CASCADE"))
    same = f"SELECT * FROM {table} WHERE id = %s"
    refused(lambda: raw(f"INSERT INTO {table} {same} ON CONFLICT (id) DO UPDATE SET id = EXCLUDED.id", key))


def test_rows_can_be_added(whole: Cast) -> None:
    from hazmat.book.entry import Entry
    from hazmat.models import Holder

    entry = Entry.objects.earliest("seq")
    Holder.objects.create(yard_id=entry.yard_id, entry=entry, kind="drum")
    assert Holder.objects.filter(kind="drum").exists()

"""After a migration of ours every standing is folded afresh: none is kept in the shape of another version."""

from typing import Any
from uuid import UUID

import pytest
from django.db.migrations import Migration

from hazmat.apps import make_standings_again
from hazmat.models import UnitStanding
from hazmat.queries.units import UNITS
from tests.cast import Cast

pytestmark = pytest.mark.django_db
DRUMS = Migration("0099_another_shape", "disposal")
OURS, THEIRS = Migration("0099_another_shape", "hazmat"), Migration("0099_another_shape", "auth")


@pytest.mark.parametrize(
    ("plan", "mended"),
    [
        ([(OURS, False)], True),
        ([(DRUMS, False)], True),
        ([(OURS, True)], False),
        ([(THEIRS, False)], False),
        ([], False),
    ],
)
def test_standings_of_another_shape(cast: Cast, plan: list[Any], mended: bool) -> None:
    unit = UnitStanding.objects.get(tag=cast.words["tag"])
    right = unit.body
    UnitStanding.objects.filter(pk=unit.pk).update(body=right.replace('"bottles":', '"bottles_of_old":'))
    assert UNITS.differs([UUID(str(unit.unit))])
    make_standings_again(using="default", plan=plan)
    assert (UnitStanding.objects.get(pk=unit.pk).body == right) == mended

"""The past of a thing on its page: the newest fifty entries at once, and all of it where somebody asks."""

from uuid import UUID

import pytest

from hazmat.actions.units import prove_dead
from hazmat.models import Unit
from tests.cast import Cast, make_cast, order

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def cast() -> Cast:
    return make_cast()


def page(cast: Cast, more: str = "") -> str:
    return cast.client("boss").get(f"/{cast.yard}/units/{cast.words['tag']}/{more}").content.decode()


def written(cast: Cast, unit: UUID, times: int) -> None:
    assert cast.yard_id is not None
    for _ in range(times):
        prove_dead(order(cast.yard_id, cast.people["boss"].pk), unit=unit, proved={"dead": "no"})


def test_the_last_fifty_stand_there_and_the_rest_is_one_click_away(cast: Cast) -> None:
    unit = Unit.objects.get(tag=cast.words["tag"]).pk
    there = page(cast).count('<span class="seq">')
    written(cast, unit, 50 - there)
    assert page(cast).count('<span class="seq">') == 50
    assert "Show everything" not in page(cast)
    written(cast, unit, 1)
    assert page(cast).count('<span class="seq">') == 50
    assert "was logged" not in page(cast)
    assert "Show everything" in page(cast)
    whole = page(cast, "?whole=yes")
    assert whole.count('<span class="seq">') == 51
    assert "was logged" in whole
    assert "Show everything" not in whole

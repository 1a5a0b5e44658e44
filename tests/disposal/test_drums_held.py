"""What one more pour is held against: all that came out of its unit, what weighs what, and where its oil went on to."""

import pytest

from hazmat.book.act import Refused
from tests.disposal.pours import Place, same_from_records

pytestmark = [pytest.mark.both, pytest.mark.django_db]


# ------------------------------------------------------------------ oil that changed since


def test_oil_that_is_untested_again_meets_the_oil_of_others_anew(place: Place) -> None:
    """Two units shown to be high stand in one drum; one of them is refilled, and nobody knows what is in it now."""
    one, other, drum, own, on = place.unit("80"), place.unit("120"), place.drum(), place.drum(), place.drum()
    for minute, unit in enumerate((one, other), 10):
        place.pour(unit, drum, minute=minute)
    place.pour(one, own, minute=12)
    place.pour(own, on, "1", minute=40)
    place.pour(other, on, "1", minute=41)
    place.correct(one)
    with pytest.raises(Refused, match="not poured into untested oil of other units"):
        place.pour(one, drum, minute=20)
    with pytest.raises(Refused, match=r"Oil went on from there into drum .*not poured into untested oil"):
        place.pour(one, own, minute=20)
    place.pour(one, own, minute=50)
    same_from_records(drum, own, on)

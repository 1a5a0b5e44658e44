"""A yard, and the one person in it."""

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from hazmat.models import Person, Yard
    from tests.disposal.pours import Place
    from tests.disposal.sending import Sender


@pytest.fixture
def boss() -> "Person":
    from tests.cast import person

    return person("boss")


@pytest.fixture
def place(boss: "Person") -> "Place":
    """A yard in Oregon, where oil of each class of 40 CFR 761.3 can be."""
    from tests.cast import opened
    from tests.disposal.pours import Place

    return Place(opened(boss, "Oregon Yard", "US", state="US-OR"), boss)


@pytest.fixture
def yard(boss: "Person") -> "Yard":
    from tests.cast import opened

    return opened(boss)


@pytest.fixture
def sender(yard: "Yard", boss: "Person") -> "Sender":
    """A yard that sends loads, with a carrier and a facility."""
    from tests.disposal.sending import Sender

    return Sender(yard.pk, boss.pk)

"""A yard, and the one person in it."""

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from hazmat.models import Person
    from tests.disposal.pours import Place


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

"""A yard, and the one person in it."""

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from hazmat.models import Person, Yard


@pytest.fixture
def boss() -> "Person":
    from tests.cast import person

    return person("boss")


@pytest.fixture
def yard(boss: "Person") -> "Yard":
    from tests.cast import opened

    return opened(boss)

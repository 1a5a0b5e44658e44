"""Somebody with a browser, in a yard of Oregon, on a morning in March."""

from typing import Any

import pytest
import time_machine


@pytest.fixture
def walk() -> Any:
    from tests.journeys.walking import START, Walk  # models, which are there only once settings are

    with time_machine.travel(START, tick=False) as clock:
        yield Walk(clock)

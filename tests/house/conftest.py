"""The cast of a test that names an address: with a load, where that address needs one."""

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.cast import Cast


@pytest.fixture
def cast(request: pytest.FixtureRequest, cast: "Cast") -> "Cast":
    from tests.disposal.sending import furnished

    return furnished(cast, request.node.callspec.params.get("name"))

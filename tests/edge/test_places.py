"""Places by their names. Expected names come from ISO 3166-1; the states from the law that tells them apart."""

import pytest

from hazmat import rulebooks
from hazmat.edge.places import COUNTRIES, NAMES, called


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("NZ", "New Zealand (NZ)"),
        ("US", "United States of America (US)"),
        ("us", "United States of America (US)"),
        ("PT", "Portugal (PT)"),
        ("CI", "Côte d'Ivoire (CI)"),
        ("US-OR", "United States of America (US-OR)"),
        ("", ""),
        ("UK", "UK"),
        ("not known", "not known"),
    ],
)
def test_a_place_is_called_by_its_name_beside_its_code(code: str, says: str) -> None:
    assert called(code) == says


def test_a_state_that_a_law_tells_apart_has_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rulebooks, "states", lambda place: {"AU-TAS": "Tasmania"})
    assert called("AU-TAS") == "Tasmania, Australia (AU-TAS)"


def test_every_country_has_a_name_of_its_own() -> None:
    """ISO 3166-1 lists 249 countries and territories, no two of one short name."""
    assert len(COUNTRIES) == len(set(NAMES.values())) == 249
    assert all(name and name != code for code, name in NAMES.items())

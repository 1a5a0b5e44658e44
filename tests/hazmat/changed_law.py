"""A book into which changed rulebooks can be loaded, and a changed text for it.

The changed law is the New Zealand notice with another figure than its own 50 ppm, made up for tests.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import LazySettings

from hazmat import rulebooks
from hazmat.edge.one import assessor
from hazmat.models.edition import keep_shipped_editions

NZ = rulebooks.HERE / "nz.toml"
SHIPPED = rulebooks.rulebook("nz")
TEXT = NZ.read_text("utf-8")
LATER = TEXT.replace(f"edition  = {SHIPPED.edition}", "edition  = 2027-03-01").replace(
    'is = "50", cite = "POPs', 'is = "40", cite = "POPs'
)


@pytest.fixture(autouse=True)
def _book(settings: LazySettings, tmp_path: Path) -> Iterator[None]:
    settings.OILWARD_BOOK = tmp_path / "book"
    keep_shipped_editions("default")
    yield
    rulebooks.look_beside(None)
    assessor.cache_clear()


def a_file(tmp_path: Path, text: str, name: str = "nz") -> Path:
    """The text as a file that can be loaded."""
    file = tmp_path / f"{name}.toml"
    file.write_text(text, encoding="utf-8")
    return file

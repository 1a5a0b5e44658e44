"""Papers made of real answers, and the outside programs that look at them."""

import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, get_args

import pytest

from hazmat import papers
from hazmat.core.unitfold import Written, step
from hazmat.core.unitnow import PaperKind, UnitNow
from hazmat.edge.gear import Answers
from hazmat.edge.one import answer_data, judged
from hazmat.papers.gearsheet import Cards

AT = datetime(2026, 11, 25, 1, 2, 3, tzinfo=UTC)
YARDS: dict[str, dict[str, str]] = {
    "nz": {
        "name": "Test Yard", "code": "K7M4PK", "country": "nz", "state": "", "zone": "Pacific/Auckland",
        "phone": "+64 0 000 0000", "keeps": "the steel cabinet",
    },
    "us": {
        "name": "Other Yard", "code": "222222", "country": "us", "state": "US-OR", "zone": "America/Los_Angeles",
        "phone": "", "keeps": "",
    },
}  # fmt: skip
KINDS: tuple[PaperKind, ...] = get_args(PaperKind)


def tool(name: str, package: str) -> str:
    """Where an outside program lies; in CI its absence fails, elsewhere it is said."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"no {name} here: sudo apt-get install -y {package}")
    return found


def unit(
    line: dict[str, Any], country: str = "nz", *, proved: bool = False, note: str = "", partly: Any = None, **look: Any
) -> UnitNow:  # fmt: skip
    """A unit as it stands after one look. `partly`: answers of its proof of death that are not yes."""
    place = YARDS[country]["state"] or country.upper()
    on = AT.date()
    answer = answer_data(judged(line, "K7M4PK", place, on, on))
    images: list[tuple[str, dict[str, Any]]] = [
        ("hazmat.unit", {"tag": "K7M4PK", "arrival": "found"}),
        ("hazmat.look", {"line": line, "leak": "none", "note": note, **look}),
        ("hazmat.assessment", {"answer": answer}),
        ("hazmat.space", {"name": "tank"}),
        ("hazmat.bottle", {"code": "B3TTLE", "space": "00000000-0000-7000-8000-000000000001"}),
    ]
    if proved:
        tried = dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
        told = {"dead": "yes", "how": "detector before and after, then earths", **tried, **(partly or {})}
        images.append(("hazmat.isolation", told))
    now: UnitNow | None = None
    for table, image in images:
        moment = "2026-11-25T01:02:03.000000Z"
        written = Written(
            table=table, id="00000000-0000-7000-8000-000000000001", yard="y", replaces=None, image=image,
            happened_at=moment, recorded_at=moment, seq="7",
        )  # fmt: skip
        now = step(now, written)
    assert now is not None
    return now


LINE = {"kind": "transformer", "mounting": "pole", "built": "1968", "fluid": "mineral", "plate_words": ["OIL 75 L"]}
ASIDE = {
    "owner": "Mere Example",
    "owner_phone": "+64 0 000 0001",
    "where": "behind the shed",
    "proved_by": "Ben Example",
}

SAMPLING = Cards(tasks=("sample",), answers=Answers())
"""One gear card, of which nobody answered anything."""
Printed = Callable[..., Path]


def frozen(kind: str, now: UnitNow, country: str = "nz", aside: dict[str, str] | None = None) -> papers.Made:
    """The words of a paper of this unit, or of its bottle."""
    its = now.bottles[0] if kind == "bottle_label" else None
    told = ASIDE if aside is None else aside
    cards = SAMPLING if kind == "gear_card" else None
    return papers.payload(kind, now, YARDS[country], told, "17", AT, "Ana Example", its, None, cards)


@pytest.fixture
def printed(tmp_path: Path) -> Printed:
    """Print a paper into a file: `printed("notice", unit, country="us", aside={…})`."""
    count = 0

    def make(kind: str, now: UnitNow, country: str = "nz", aside: dict[str, str] | None = None) -> Path:
        nonlocal count
        count += 1
        made = frozen(kind, now, country, aside)
        path = tmp_path / f"{kind}-{count}.pdf"
        path.write_bytes(papers.pdf(made.payload, made.aside, papers.code(made.payload)))
        return path

    return make

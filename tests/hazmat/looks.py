"""A look filled in, posted and read back: what the tests of its form share."""

import json
from datetime import UTC, date, datetime
from typing import Any

from django.utils.datastructures import MultiValueDict
from hypothesis import strategies as st

from hazmat.core.facts import Unit
from hazmat.core.lookin import LookIn
from hazmat.edge.reader import Reader
from hazmat.forms.look import LookForm

HERE = {
    "name": "Y",
    "code": "ABCDEF",
    "country": "nz",
    "state": "",
    "zone": "Pacific/Auckland",
    "phone": "",
    "keeps": "",
}
NOW = datetime(2026, 11, 25, 1, 0, tzinfo=UTC)  # 14:00 on the 25th in Auckland
TODAY = date(2026, 11, 25)
EMPTY = LookForm(here=HERE)
PLATE_PLAIN = st.text(st.characters(exclude_categories=["Cc", "Cs", "Cf", "Zl", "Zp", "Zs"]), min_size=1, max_size=12)


def form(kind: str | None = "transformer", files: Any = None, here: dict[str, str] = HERE, **told: Any) -> LookForm:
    data = MultiValueDict({key: value if isinstance(value, list) else [value] for key, value in told.items()})
    if kind is not None:
        data.setlist("kind", [kind])
    return LookForm(data, files, here=here)


def look(**told: Any) -> LookIn:
    made = form(**told)
    assert made.errors == {}, made.errors
    return made.look()


def refused(box: str, **told: Any) -> str:
    """The one refusal, under this box and no other; what was typed stands in the box still."""
    made = form(**told)
    assert not made.is_valid()
    assert list(made.errors) == [box], made.errors
    (says,) = made.errors[box]
    is_sentence(says)
    if box in told:
        assert made[box].value() == told[box]
    return str(says)


def is_sentence(says: str) -> None:
    assert says.isprintable(), ascii(says)
    assert says[0].isupper() or not says[0].isalpha(), says
    assert says.endswith("."), says
    assert len(says) < 300, says


def read(made: LookIn) -> Unit:
    """The line as the strict reader of a register takes it."""
    raw = json.dumps({"id": "A1", **made.line}).encode()
    ((_, unit),) = Reader(TODAY).lines([raw])
    assert isinstance(unit, Unit), str(unit)
    return unit

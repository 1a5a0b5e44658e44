"""The form of a certificate: all that is wrong is said at once, and what was typed stays."""

from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from disposal.actions.handing import receive_load
from disposal.core.loadin import Arrived
from disposal.forms.certificates import CertificateForm
from hazmat.core.codes import spaced
from hazmat.models import Person, Yard
from tests.cast import ZONE, Cast
from tests.disposal.sending import Sender, now
from tests.disposal.test_load_pages import path, sent, slip, text

pytestmark = pytest.mark.django_db


def test_all_that_is_wrong_is_said_at_once_and_what_was_typed_stays(cast: Cast) -> None:
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk)
    client, load = cast.client("manager"), sender.received(sender.unit(), sender.unit(), arrivals=["yes", "refused"])
    went, back = now(load).items
    stranger = "no such code"
    written = "\n".join([slip(went.code), stranger, back.code, went.code, went.code])
    told = {"number": "", "issued_on": "2001-02-03", "done_on": "2001-02-04", "written": written}
    answer = sent(client, path(cast, "enter_certificate", load), **told)
    assert answer.status_code == 422
    for says in (
        "Write the number of the certificate", "dated before the load was handed over",
        "The day of destruction lies before the load was handed over",
        "The day of destruction lies after the day of the certificate", f"one slip away from {spaced(went.code)}",
        f"“{stranger}” is the code of nothing", f"{spaced(back.code)} was refused and came back",
        f"{spaced(went.code)} stands twice",
    ):  # fmt: skip
        assert says in text(answer), says
    for typed in (slip(went.code), stranger, back.code, "2001-02-03", "2001-02-04"):
        assert typed in answer.content.decode(), typed


@pytest.mark.parametrize(
    ("day", "done", "when", "box"),
    [
        ("2026-03-07", "2026-03-07", "", None),
        ("2026-03-06", "", "", "issued_on"),
        ("2026-03-20", "2026-03-20", "2026-03-20T09:00", None),
        ("2026-03-21", "", "2026-03-20T09:00", "issued_on"),
        ("2026-03-08", "2026-03-06", "", "done_on"),
        ("2026-03-08", "2026-03-08", "", None),
        ("2026-03-08", "2026-03-09", "", "done_on"),
        ("2026-03-07", "", "2026-03-07T05:00", "when"),
    ],
)
def test_both_sides_of_each_day(yard: Yard, boss: Person, day: str, done: str, when: str, box: str | None) -> None:
    """Handed over on 7 March in Auckland, an hour after its midnight (6 March in UTC), taken in at six o'clock."""
    sender = Sender(yard.pk, boss.pk)
    zone = ZoneInfo(ZONE)
    sender.now = datetime(2026, 3, 7, 1, 0, tzinfo=zone)
    load = sender.load(sender.unit())
    sender.signed(load, "yard", "carrier")
    took = sender.order(happened_at=datetime(2026, 3, 7, 6, 0, tzinfo=zone))
    item = now(load).items[0]
    receive_load(took, load=load, lines=[Arrived(item=UUID(item.id), arrival="yes")])
    told: dict[str, Any] = {"number": "CD-1", "issued_on": day, "done_on": done, "when": when, "items": [item.id]}
    form = CertificateForm(told, zone=zone, load=now(load), today=date(2026, 3, 22))
    assert list(form.errors) == ([box] if box else [])

"""Somebody with a browser who reads pages and sends their forms, and a clock that goes on with each."""

import re
from datetime import datetime, timedelta
from html import unescape
from typing import Any
from zoneinfo import ZoneInfo

from django.test import Client

from tests.cast import opened, person

ZONE = ZoneInfo("America/Los_Angeles")
START = datetime(2026, 3, 2, 9, 0, tzinfo=ZONE)
HIDDEN = re.compile(r'<input type="hidden" name="([a-z_]+)" value="([^"]*)"')
WRONG = re.compile(r'<p class="(?:error|wrong)"[^>]*>([^<]+)<')


def words(body: str) -> str:
    """What a page says, without its marks and without what its lists offer."""
    told = re.sub(r"<select.*?</select>", " ", body, flags=re.DOTALL)
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", told)))


class Walk:
    """Somebody with a browser, and a clock that goes on a little with each form that is sent."""

    def __init__(self, clock: Any) -> None:
        self.boss = person("boss")
        self.yard = opened(self.boss, "Pinwheel Lane", "US", state="US-OR")
        self.client, self.clock = Client(), clock
        self.client.force_login(self.boss)

    def read(self, path: str) -> str:
        """The words of a page."""
        answer = self.client.get(f"/{self.yard.code}/{path}")
        assert answer.status_code == 200, (path, answer.status_code)
        return words(answer.content.decode())

    def send(self, path: str, status: int = 302, at: str = "", **told: Any) -> str:
        """Open a form, fill it in and send it; where it leads, or what it says. `at`: to which address it is sent."""
        page = self.client.get(f"/{self.yard.code}/{path}")
        assert page.status_code == 200, (path, page.status_code)
        hidden = {name: unescape(value) for name, value in HIDDEN.findall(page.content.decode())}
        hidden.pop("csrfmiddlewaretoken", None)
        self.clock.shift(timedelta(minutes=7))
        answer = self.client.post(f"/{self.yard.code}/{at or path}", {**hidden, **told})
        body = answer.content.decode()
        assert answer.status_code == status, (path, answer.status_code, WRONG.findall(body))
        return str(answer.headers.get("Location", "")) or words(body)

    def printed(self, path: str, at: str, **told: Any) -> str:
        """Print a paper by the button of a page; what its page says."""
        where = self.send(path, at=at, **told)
        return self.read(where.removeprefix(f"/{self.yard.code}/"))

    def on(self, days: int) -> None:
        """Some days later."""
        self.clock.shift(timedelta(days=days))


LOOK = {
    "kind": "transformer", "arrival": "gate", "mounting": "pole", "built_how": "in", "built_1": "1968",
    "fluid": "mineral", "fluid_volume_l": "75", "leak": "none", "dead": "yes", "proved_by": "Mere Example",
    "how": "detector, then earths", "detector_before": "yes", "detector_after": "yes", "back_feed": "yes",
    "earthed": "yes",
}  # fmt: skip

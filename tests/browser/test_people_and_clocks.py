"""A link that was just made, people with links out, and clocks that run: on a phone and at a desk."""

import io
import re
from datetime import timedelta
from typing import Any
from uuid import UUID

import zxingcpp
from django.utils import timezone
from PIL import Image
from pytest_django.live_server_helper import LiveServer

from hazmat.actions.people import new_door
from hazmat.actions.units import log_unit
from tests.browser.conftest import Opened, fit, fit_everywhere
from tests.browser.test_every_page import cookies
from tests.browser.test_states import VIEWS, at
from tests.cast import Cast, look_in, order


def test_a_link_is_read_off_the_screen_by_a_camera(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    """The picture on the page, as another program reads it, is the link below it."""
    client = live_cast.client("manager")
    answer = client.post(at(live_cast, "make_link", person=live_cast.words["person"]))
    link = re.search(r"http://[\w.:]+/door/[\w-]+/", answer.content.decode())
    assert link
    for width, scheme in VIEWS:
        page = opened(f"{live_server.url}/shown/", width=width, scheme=scheme, answer=answer)
        fit(page, (width, scheme))
        shot = Image.open(io.BytesIO(page.screenshot(full_page=True)))
        assert [one.text for one in zxingcpp.read_barcodes(shot)] == [link[0]]


def test_people_with_links_out_and_ways_to_leave(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    new_door(live_cast.people["visitor"])
    page = opened(live_server.url + at(live_cast, "people"), cookies=cookies(live_cast, "manager", live_server))
    assert page.get_by_text("A link is out").count() == 1
    for summary in page.locator("summary").all():
        summary.click()
    assert page.get_by_role("button", name="I, Manager, leave Test Yard").count() == 1
    fit_everywhere(page)


def test_somebody_joins_on_a_phone(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    """Let in at a desk, the link opened on a phone: two taps from the camera to the yard."""
    desk = opened(
        live_server.url + at(live_cast, "people"), width=1280, cookies=cookies(live_cast, "manager", live_server)
    )
    desk.get_by_label("Name", exact=True).fill("Ana Example")
    desk.get_by_label("Name to sign in by").fill("ana")
    desk.get_by_label("yard hand").check()
    desk.get_by_role("button", name="Let them in").click()
    link = desk.locator(".whole").inner_text()
    phone = opened(link)
    fit(phone, "welcome")
    phone.get_by_role("button", name="Come in as Ana Example").click()
    assert phone.url == live_server.url + at(live_cast, "next")
    assert phone.get_by_text("Ana Example").count() == 1


def test_clocks_that_run_are_fit_for_everybody(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    boss = live_cast.people["boss"]
    assert isinstance(live_cast.yard_id, UUID)
    for days in (10, 350, 400):
        line: dict[str, Any] = {"kind": "capacitor", "built": "1970", "found_in": "US-OR"}
        line["decided_waste"] = str(timezone.localdate() - timedelta(days=days))
        log_unit(order(live_cast.yard_id, boss.pk), look=look_in(line=line), place="NZ", pictures=[])
    for name in ("clocks", "next"):
        where = live_server.url + at(live_cast, name)
        page = opened(where, cookies=cookies(live_cast, "boss", live_server))
        assert page.get_by_text("verdue by").count() == 1
        fit_everywhere(page, name)

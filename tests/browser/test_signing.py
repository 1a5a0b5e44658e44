"""A name is drawn with a finger or a mouse, and without a script the same page takes a typed name."""

import io
from typing import Any

import pytest
from django.urls import reverse
from PIL import Image
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from disposal.models import Signature
from hazmat.book import files
from tests.browser.conftest import Opened, overflow, small_controls, violations
from tests.browser.test_every_page import cookies
from tests.cast import Cast
from tests.disposal.sending import Sender, now


def signing(cast: Cast, live: LiveServer, opened: Opened, **more: Any) -> Page:
    """The page on which the yard signs for a load of one unit."""
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk)
    load = now(sender.load(sender.unit())).number
    at = reverse("sign_load", kwargs={"yard": cast.yard, "load": load, "party": "yard"})
    return opened(live.url + at, cookies=cookies(cast, "boss", live), **more)


def pick(page: Page, says: str) -> None:
    page.locator("label.choice", has_text=says).click()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_name_is_drawn(scheme: str, live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    page = signing(live_cast, live_server, opened, scheme=scheme)
    assert not page.locator(".pad").is_visible()
    page.fill("input[name=name]", "Mere Example")
    pick(page, "Drawn on a screen")
    pad = page.locator(".pad")
    assert pad.is_visible()
    assert not page.locator("#div_id_pictures").is_visible()
    assert (violations(page), overflow(page) <= 0, small_controls(page)) == ([], True, [])
    pad.scroll_into_view_if_needed()
    edge = pad.bounding_box()
    assert edge
    page.mouse.move(edge["x"] + 20, edge["y"] + 20)
    page.mouse.down()
    page.mouse.move(edge["x"] + edge["width"] / 2, edge["y"] + 60, steps=5)
    page.mouse.up()
    page.click("button.main")
    kept = Signature.objects.get()
    assert kept.inked == "drawn"
    with Image.open(files.path_of(kept.file)) as drawn:
        grey = drawn.convert("L")
    wide = grey.point(lambda value: 255 if value < 128 else 0).getbbox()
    assert wide
    assert wide[2] - wide[0] > grey.width / 4


def test_a_drawing_that_came_back_is_on_the_pad_again(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    """A refused form holds what was drawn: it is shown, it is sent again, and it can be wiped away."""
    page = signing(live_cast, live_server, opened)
    pick(page, "Drawn on a screen")
    page.locator(".pad").click()
    drawing = page.input_value("input[name=drawing]")
    at = page.url.removeprefix(live_server.url)
    client = live_cast.client("boss")
    told = {"act": page.input_value("#sign input[name=act]"), "inked": "drawn", "name": "", "drawing": drawing}
    refused = client.post(at, told)
    assert (refused.status_code, "Write the name of whoever signs" in refused.content.decode()) == (422, True)
    page = opened(page.url, answer=refused)
    assert page.locator(".pad").is_visible()
    assert page.input_value("input[name=drawing]") == drawing
    ink = (
        "() => { const p = document.querySelector('.pad');"
        " return [...p.getContext('2d').getImageData(0, 0, p.width, p.height).data].some(v => v < 9) }"
    )
    page.wait_for_function(ink)
    page.click("text=Draw it again")
    assert not page.evaluate(ink)
    assert page.input_value("input[name=drawing]") == ""


def test_without_a_script_a_typed_name_will_do(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    page = signing(live_cast, live_server, opened, script=False)
    assert page.locator(".pad").count() == 0
    page.fill("input[name=name]", "Mere Example")
    pick(page, "A typed name with a tick")
    pick(page, "I sign this list with my name")
    page.click("button.main")
    assert Signature.objects.get().inked == "typed"


def test_a_touch_makes_a_dot(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    page = signing(live_cast, live_server, opened, width=360)
    pick(page, "Drawn on a screen")
    page.locator(".pad").tap()
    value = page.input_value("input[name=drawing]")
    assert value.startswith("data:image/png;base64,")
    assert io.BytesIO(value.encode()).getbuffer().nbytes > 500

"""*Look* with a thumb: a unit without a plate in at most twelve taps and no typing, on a phone 360 px wide."""

import io
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from PIL import Image
from playwright.sync_api import Browser, Locator, Page
from pytest_django.live_server_helper import LiveServer

from hazmat.models import Unit
from hazmat.queries.units import unit_now
from tests.browser.conftest import Opened, overflow, small_controls, violations
from tests.cast import Cast

MOST_TAPS = 12
MAIN, OTHER = 72, 48
"""Height in px of main and other controls, taps at most. Source: acceptance scenario O1."""


def jpeg() -> dict[str, Any]:
    out = io.BytesIO()
    Image.new("RGB", (320, 240), "gray").save(out, "JPEG")
    return {"name": "unit.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def cookies(client: Client, live: LiveServer) -> list[dict[str, Any]]:
    return [{"name": name, "value": morsel.value, "url": live.url} for name, morsel in client.cookies.items()]


@pytest.fixture
def look(live_cast: Cast, live_server: LiveServer, opened: Opened) -> Page:
    """The page, opened by the yard hand."""
    return open_look(live_cast, live_server, opened)


def open_look(cast: Cast, live: LiveServer, opened: Opened, script: bool = True) -> Page:
    address = live.url + reverse("look", kwargs={"yard": cast.yard})
    return opened(address, cookies=cookies(cast.client("yard_hand"), live), script=script)


class Thumb:
    """Counts taps, and measures what is tapped."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps = page, 0

    def tap(self, target: Locator, least: int = OTHER) -> None:
        """Tap a control that is high enough."""
        self.taps += 1
        target.scroll_into_view_if_needed()
        box = target.bounding_box()
        assert box is not None
        assert box["height"] >= least, (target, box)
        target.tap()

    def answer(self, box: str, word: str, least: int = MAIN) -> None:
        """Tap an answer by the tile or line that it stands in."""
        self.tap(self.page.locator(f"label.choice:has(input[name={box}][value={word}])"), least)

    def press(self, words: str) -> None:
        """Tap a main button."""
        self.tap(self.page.get_by_role("button", name=words), MAIN)


def new_unit(cast: Cast) -> Unit:
    return Unit.objects.exclude(tag=cast.words["tag"]).get()


def test_a_unit_without_a_plate_in_twelve_taps(look: Page, live_cast: Cast) -> None:
    thumb = Thumb(look)
    typed: list[str] = []
    look.expose_function("typed", lambda key: typed.append(key))
    look.evaluate("document.addEventListener('keydown', e => typed(e.key))")
    with look.expect_file_chooser() as chooser:
        thumb.tap(look.locator("input[name=pictures_whole]"))
    chooser.value.set_files([jpeg()])  # type: ignore[list-item]
    thumb.press("Next")
    thumb.press("Next")
    thumb.answer("kind", "pole_unit")
    thumb.press("Next")
    thumb.answer("leak", "none")
    thumb.press("Next")
    thumb.answer("plate", "missing")
    thumb.press("Next")
    thumb.answer("seller_knows", "knows_nothing")
    with look.expect_navigation():
        thumb.press("Save what is known")
    assert thumb.taps <= MOST_TAPS
    assert typed == []
    unit = new_unit(live_cast)
    now = unit_now(unit.yard_id, unit.tag)
    assert now is not None
    assert (now.line["kind"], now.line["mounting"], now.leak, now.arrival) == ("transformer", "pole", "none", "gate")
    assert now.claims == {"seller": "knows_nothing"}
    assert [photo.shows for photo in now.photographs] == ["whole"]
    assert "HOLD" in look.content()
    assert look.locator(".error, [aria-invalid=true]").count() == 0


def test_each_step_fits_a_phone(look: Page) -> None:
    seen = []
    for place in range(1, 10):
        assert look.locator(".progress").inner_text() == f"{place} of 9"
        assert look.locator("fieldset.step:visible").count() == 1
        seen.append(look.locator("fieldset.step:visible > legend").inner_text())
        assert overflow(look) <= 0
        assert small_controls(look) == []
        look.evaluate("scrollTo(0, document.body.scrollHeight)")  # where the bar of buttons lies over nothing
        assert violations(look) == []
        if place < 9:
            look.get_by_role("button", name="Next").tap()
    assert len(set(seen)) == 9
    assert not look.get_by_role("button", name="Next").is_visible()
    for _ in range(8):
        look.get_by_role("button", name="Back").tap()
    assert look.locator(".progress").inner_text() == "1 of 9"


def test_only_what_the_kind_can_use_is_shown(look: Page) -> None:
    def shown(kind: str) -> dict[str, bool]:
        look.evaluate(
            "kind => { const box = document.querySelector(`input[name=kind][value=${kind}]`); box.checked = true;"
            " box.dispatchEvent(new Event('change', {bubbles: true})) }",
            kind,
        )
        names = ("body_cm3", "voltage_v", "built_how", "fluid", "construction")
        return {name: look.locator(f"[name={name}]").first.evaluate("e => !e.closest('.ask').hidden") for name in names}

    sizes = {"body_cm3": True, "voltage_v": True, "built_how": True, "fluid": True, "construction": False}
    assert shown("capacitor") == sizes
    assert shown("pole_unit") == {**sizes, "body_cm3": False, "voltage_v": False, "construction": True}
    assert shown("drum") == {**dict.fromkeys(sizes, False), "fluid": True}
    assert shown("other") == dict.fromkeys(sizes, True)


def test_what_is_answered_is_never_hidden(look: Page, live_cast: Cast) -> None:
    look.locator("input[name=kind][value=capacitor]").evaluate("e => e.click()")
    look.locator("input[name=voltage_v]").evaluate("e => { e.value = '11000' }")
    look.locator("input[name=kind][value=drum]").evaluate("e => e.click()")
    assert look.locator("input[name=voltage_v]").evaluate("e => !e.closest('.ask').hidden")
    with look.expect_navigation():
        look.get_by_role("button", name="Save what is known").tap()
    unit = new_unit(live_cast)
    now = unit_now(unit.yard_id, unit.tag)
    assert now is not None
    assert now.line["voltage_v"] == "11000"


@pytest.mark.parametrize("script", [True, False])
def test_a_refusal_leads_to_its_box_and_keeps_what_was_typed(
    live_cast: Cast, live_server: LiveServer, chromium: Browser, script: bool
) -> None:
    """In a window of its own: a browser reports an answer of 422 on its console, and here it is meant."""
    context = chromium.new_context(viewport={"width": 360, "height": 800}, java_script_enabled=script, has_touch=True)
    context.add_cookies(cookies(live_cast.client("yard_hand"), live_server))  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(live_server.url + reverse("look", kwargs={"yard": live_cast.yard}))
    told = {"kind": "drum", "fluid_volume_l": "1,234", "note": "by the creek"}
    if script:
        for name, word in told.items():
            box = page.locator(f"[name={name}]").first
            if name == "kind":
                page.locator("input[name=kind][value=drum]").evaluate("e => e.click()")
            else:
                box.evaluate("(e, word) => { e.value = word }", word)
    else:
        page.locator("label.choice:has(input[name=kind][value=drum])").tap()
        page.locator("[name=fluid_volume_l]").fill(told["fluid_volume_l"])
        page.locator("[name=note]").fill(told["note"])
    with page.expect_navigation():
        page.get_by_role("button", name="Save what is known").tap()
    assert "two ways" in page.locator("#wrong").inner_text()
    assert page.locator("[name=fluid_volume_l]").input_value() == "1,234"
    assert page.locator("[name=note]").input_value() == "by the creek"
    assert page.locator("input[name=kind][value=drum]").is_checked()
    if script:
        assert page.locator(".progress").inner_text() == "7 of 9"
        page.get_by_role("button", name="Back").tap()
        page.locator("#wrong a").tap()
        assert page.locator(".progress").inner_text() == "7 of 9"
        assert page.locator("[name=fluid_volume_l]").evaluate("e => e === document.activeElement")
    assert Unit.objects.count() == 1
    context.close()


def test_without_script_it_is_the_same_form(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    page = open_look(live_cast, live_server, opened, script=False)
    assert page.locator("fieldset.step:visible").count() == 9
    page.locator("label.choice:has(input[name=kind][value=capacitor])").tap()
    with page.expect_navigation():
        page.get_by_role("button", name="Save what is known").tap()
    unit = new_unit(live_cast)
    now = unit_now(unit.yard_id, unit.tag)
    assert now is not None
    assert now.line["kind"] == "capacitor"


OUT = """() => [...document.querySelectorAll('.pictured > .choice')].filter(box => {
  const words = document.createRange(); words.selectNodeContents(box.querySelector('span'));
  return words.getBoundingClientRect().right > box.getBoundingClientRect().right - 4 }).map(box => box.innerText)"""
"""Pictured answers whose words reach over the edge of their box."""


@pytest.mark.parametrize("width", [320, 360])
def test_the_words_of_a_picture_stay_in_its_box(
    width: int, live_cast: Cast, live_server: LiveServer, opened: Opened
) -> None:
    """All steps at once, as without script; 320 px is the narrowest window of WCAG 2.2, 1.4.10."""
    address = live_server.url + reverse("look", kwargs={"yard": live_cast.yard})
    page = opened(address, cookies=cookies(live_cast.client("yard_hand"), live_server), width=width)
    page.evaluate("document.querySelectorAll('.step').forEach(step => { step.hidden = false })")
    assert page.evaluate(OUT) == []
    assert overflow(page) <= 0

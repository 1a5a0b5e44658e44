"""Pages in the states that a plain visit never shows: refused, mended, leaking, proved dead, saved, gone wrong."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

import pytest
from django.http import HttpResponse
from django.template.loader import get_template
from django.test import Client
from django.urls import reverse
from pytest_django.live_server_helper import LiveServer

from hazmat.actions.units import log_unit, prove_dead
from hazmat.models import Unit
from tests.browser.conftest import Opened, fit, fit_everywhere
from tests.browser.test_every_page import cookies
from tests.cast import Cast, look_in, order

VIEWS = ((360, "dark"), (1280, "light"))


def at(cast: Cast, name: str, **words: Any) -> str:
    return reverse(name, kwargs={"yard": cast.yard, **words})


def token(page: str) -> str:
    return page.split('name="act"', 1)[1].split('value="', 1)[1].split('"', 1)[0]


def claimed_dead(cast: Cast) -> Any:
    client, where = cast.client("technician"), at(cast, "prove_dead", tag=cast.words["tag"])
    return client.post(where, {"act": token(client.get(where).content.decode()), "dead": "yes"})


def nobody_let_in(cast: Cast) -> Any:
    return cast.client("manager").post(at(cast, "people"), {"called": "", "handle": "", "roles": []})


def bare_look(cast: Cast) -> Any:
    return cast.client("yard_hand").post(at(cast, "look"), {"fluid_volume_l": "1,234", "note": "by the creek"})


def no_such_unit(cast: Cast) -> Any:
    return cast.client("visitor").get(at(cast, "unit", tag="222222"))


def not_his_to_do(cast: Cast) -> Any:
    return cast.client("visitor").get(at(cast, "correct_unit", tag=cast.words["tag"]))


def signed_out(cast: Cast) -> Any:
    client = cast.client("yard_hand")
    told = {"act": token(client.get(at(cast, "look")).content.decode()), "note": "under the ash tree"}
    client.logout()
    return client.post(at(cast, "look"), told)


def used_up(cast: Cast) -> Any:
    return Client().get("/door/nothing/")


def broken(cast: Cast) -> Any:
    """Django draws this page without a request, so here it is given the policy of the other pages."""
    answer = HttpResponse(get_template("500.html").render())
    answer["Content-Security-Policy"] = no_such_unit(cast)["Content-Security-Policy"]
    return answer


STATES: list[tuple[Callable[[Cast], Any], int, str]] = [
    (claimed_dead, 422, "without a name it is a claim"), (nobody_let_in, 422, "Choose at least one"),
    (bare_look, 422, "by the creek"), (no_such_unit, 404, "nothing here"), (not_his_to_do, 403, "does not do this"),
    (signed_out, 401, "under the ash tree"), (used_up, 410, "this link is used up"),
    (broken, 200, "nothing was half written"),
]  # fmt: skip


def test_a_refusal_is_fit_for_everybody(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    for state, status, says in STATES:
        answer = state(live_cast)
        assert answer.status_code == status, state.__name__
        page = opened(f"{live_server.url}/shown/", answer=answer)
        assert says.casefold() in page.content().casefold(), state.__name__
        fit_everywhere(page, state.__name__)


def test_what_is_to_be_mended_is_met_first(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    """Without any script the list of errors has the focus, and its link leads to the box."""
    page = opened(f"{live_server.url}/shown/", answer=claimed_dead(live_cast), script=False)
    assert page.locator("#wrong:focus").count() == 1
    target = page.locator("#wrong a").first.get_attribute("href")
    assert target
    box = page.locator(f"{target} input")
    assert box.get_attribute("aria-invalid") == "true"
    assert page.locator(f"#{box.get_attribute('aria-describedby')}").inner_text().startswith("Write who proved it dead")
    page = opened(f"{live_server.url}/shown/", answer=no_such_unit(live_cast))
    assert page.get_by_role("link", name="Units").get_attribute("href") == at(live_cast, "units")


UNITS: list[dict[str, Any]] = [{"leak": "pool"}, {"leak": "unknown", "line": {"kind": "other"}}, {"arrival": "gate"}]


def test_a_unit_is_fit_for_everybody(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    boss = live_cast.people["boss"]
    assert isinstance(live_cast.yard_id, UUID)
    signed_in = cookies(live_cast, "boss", live_server)
    for told in UNITS:
        seen = log_unit(order(live_cast.yard_id, boss.pk), look=look_in(**told), place="NZ", pictures=[])
        unit = Unit.objects.get(pk=seen.the("hazmat.unit"))
        where = live_server.url + at(live_cast, "unit", tag=unit.tag)
        page = opened(where, cookies=signed_in)
        fit_everywhere(page, told)
        assert page.locator(".main").count() == (0 if told.get("leak") == "pool" else 1), told
        how: dict[str, Any] = {"dead": "yes", "proved_by": "Mere Example", "how": "detector before and after"}
        how |= dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
        prove_dead(order(live_cast.yard_id, boss.pk), unit=unit.pk, proved=how)
        page = opened(where, cookies=signed_in)
        fit(page, told)
        assert page.locator(".main").inner_text() == "Print the site sheet", told


LINE = """() => {
  const p = document.querySelector('main p'), words = (p.textContent + ' ').repeat(4), one = document.createRange();
  p.textContent = words;
  const edge = n => { one.setStart(p.firstChild, n); one.setEnd(p.firstChild, n + 1);
                      return one.getBoundingClientRect().top };
  const first = edge(0);
  let n = 0;
  while (n < words.length && edge(n) < first + 5) n += 1;
  return n }"""
"""How many characters of a paragraph stand on its first line."""


def test_the_story_is_told_in_its_order(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    """On a phone why comes before what to do, and history last; on a wide screen both stand beside it.

    No line of running words is longer than the 72 characters that an eye follows.
    """
    where = live_server.url + at(live_cast, "unit", tag=live_cast.words["tag"])
    for width, _ in VIEWS:
        page = opened(where, width=width, cookies=cookies(live_cast, "boss", live_server))
        heads = [one.inner_text() for one in page.locator("h2").all()]
        assert heads[:2] == ["What we think, and why", "What to do next"]
        assert heads[-1] == "Day book"
        spots = [page.locator(f".story > .{name}").bounding_box() for name in ("why", "rest", "past")]
        why, rest, past = (spot or pytest.fail("a part of the story is missing") for spot in spots)
        if width < 600:
            assert why["y"] < rest["y"] < past["y"]
        else:
            assert why["y"] == rest["y"]
            assert why["x"] == past["x"] >= rest["x"] + rest["width"]
            assert past["y"] >= why["y"] + why["height"]
        assert 24 <= page.evaluate(LINE) <= 72

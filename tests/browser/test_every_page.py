"""Every page that can be looked at, found in the list of addresses: in both schemes, on a phone and at a desk."""

from typing import Any

import pytest
from django.urls import reverse
from pytest_django.live_server_helper import LiveServer

from hazmat.actions.people import new_door
from hazmat.conf.urls import in_one_yard
from tests.browser.conftest import Opened, fit_everywhere, violations
from tests.cast import Cast
from tests.disposal.sending import furnished

NOT_PAGES = {"photograph", "paper_pdf", "report", "signature", "certificate", "training_certificate"}
POSTED = {
    "add_photographs", "issue_paper", "issue_drum_label", "issue_load_sheet", "end_member", "leave_yard", "make_link",
    "take_back_link", "sign_out_crew", "issue_crew_list", "come_back", "erase_note", "issue_emergency_sheet",
    "issue_spill_note",
}  # fmt: skip
PAGES = [str(one.name) for one in in_one_yard if one.name not in NOT_PAGES | POSTED]  # type: ignore[union-attr]


def cookies(cast: Cast, role: str, live: LiveServer) -> list[dict[str, Any]]:
    """The cookies of somebody who is signed in."""
    client = cast.client(role)
    return [{"name": name, "value": morsel.value, "url": live.url} for name, morsel in client.cookies.items()]


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_fit_for_everybody(name: str, live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    pattern = next(one for one in in_one_yard if one.name == name)  # type: ignore[union-attr]
    cast = furnished(live_cast, name)
    words = {key: cast.words[key] for key in pattern.pattern.converters}
    path = reverse(name, kwargs={"yard": live_cast.yard, **words})
    signed_in = cookies(live_cast, "boss", live_server)
    fit_everywhere(opened(live_server.url + path, cookies=signed_in))


def test_pages_before_signing_in(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    door = f"/door/{new_door(live_cast.people['visitor'])}/"
    for path in ("/sign-in/", door):
        fit_everywhere(opened(live_server.url + path), path)


def test_axe_finds_what_is_planted(live_cast: Cast, live_server: LiveServer, opened: Opened) -> None:
    page = opened(f"{live_server.url}/sign-in/")
    page.evaluate("document.body.insertAdjacentHTML('beforeend', '<img src=\"data:,\"><button></button>')")
    found = " ".join(violations(page))
    assert "image-alt" in found
    assert "button-name" in found

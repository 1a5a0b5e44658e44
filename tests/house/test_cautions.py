"""Every page says the standing caution; a page from which somebody may go and touch oil says one of its own besides.

The pages are found in the list of addresses: a new one belongs to one of the two lists before this passes.
"""

import re
from html import unescape

import pytest
from django.urls import reverse

from hazmat.conf.urls import in_one_yard
from tests.browser.test_every_page import NOT_PAGES, POSTED
from tests.cast import Cast
from tests.disposal.sending import furnished

TOUCHES = {
    "look", "unit", "walk_hazards", "gear", "gear_card", "drum_gear", "drum_gear_over", "sampling_plan",
    "record_clues", "remove_part", "prove_dead", "label_bottle", "bottle", "hand_bottle", "record_screen",
    "correct_screen", "read_screen", "record_breakdown", "correct_breakdown", "record_condition",
    "correct_condition", "tools", "tool", "clean_tool", "label_drum", "label_slop_can", "drum", "pour", "drain",
    "put_drum", "put_unit", "load", "put_on_load", "sign_load", "who", "override_training", "crew", "open_spill",
    "old_stain", "spill", "spill_step",
}  # fmt: skip
"""Pages whose reader has oil, or what holds it, before him, or is sent to it."""
READS = {
    "next", "units", "correct_unit", "extend_use", "correct_extension", "add_space", "enter_result", "amend_result",
    "breakdown", "condition", "sign_verdict", "second_verdict", "add_tool", "retire_tool", "paper", "day_book",
    "rule_book", "air_limits", "sums", "sum", "keeping", "set_yard", "people", "drums", "touched_unit",
    "hold_reached", "reached_letters", "touched_drum", "touched_tool", "touched_bottle", "bays", "add_bay",
    "rename_bay", "clocks", "loads", "plan_load", "change_load", "number_load", "take_off_load", "receive_load",
    "settle_arrival", "enter_certificate", "close_load", "partners", "add_partner", "partner", "correct_partner",
    "add_licence", "correct_licence", "training", "record_training", "correct_training", "out", "injuries",
    "note_injury", "emergency", "set_emergency", "spills", "correct_spill", "told_of_spill", "close_spill",
}  # fmt: skip
"""Pages on which something is read, decided or written about papers."""
STANDING = "Local law and licensed people come first. When in doubt, stop and ask."
PAGES = {str(one.name): one for one in in_one_yard if one.name not in NOT_PAGES | POSTED}  # type: ignore[union-attr]


def test_every_page_is_in_one_of_the_two_lists() -> None:
    assert not TOUCHES & READS
    assert set(PAGES) == TOUCHES | READS


@pytest.mark.parametrize("name", sorted(PAGES))
def test_a_page_says_its_caution(name: str, cast: Cast) -> None:
    here = furnished(cast, name)
    words = {key: here.words[key] for key in PAGES[name].pattern.converters}  # type: ignore[union-attr]
    answer = here.client("boss").get(reverse(name, kwargs={"yard": here.yard, **words}))
    assert answer.status_code == 200
    page = answer.content.decode()
    assert STANDING in re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", "", page)))
    main = page.partition("<main")[2].partition("</main>")[0]
    if name in TOUCHES:
        assert 'class="caution' in main

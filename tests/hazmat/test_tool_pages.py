"""The pages of sampling gear, and what other pages say of it: typed, refused, shown."""

import re
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.utils.timezone import localdate

from hazmat.actions.results import enter_result
from hazmat.actions.yards import set_yard
from hazmat.models import Bottle, Hand, Result, Tool, Touch, Unit
from hazmat.queries.tools import tools
from hazmat.queries.yards import particulars
from hazmat.roles import ROLES
from tests.browsing import at, token
from tests.cast import Cast, order, reported
from tests.hazmat.gear import SHOTS, Gear, doubts, now

pytestmark = pytest.mark.django_db


def gear_of(cast: Cast) -> Gear:
    assert cast.yard_id is not None
    return Gear(cast.yard_id, cast.people["boss"].pk)


def code_of(tool: UUID) -> str:
    return Tool.objects.get(pk=tool).code


def spaced(code: str) -> str:
    return f"{code[:3]} {code[3:]}"


def plain(answer: Any) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", "", answer.content.decode())))


def shown(cast: Cast, name: str, role: str = "boss", **words: Any) -> str:
    return plain(cast.client(role).get(at(cast, name, **words)))


def sent(cast: Cast, name: str, role: str = "boss", of: dict[str, Any] | None = None, **told: Any) -> Any:
    client, path = cast.client(role), at(cast, name, **(of or {}))
    return client.post(path, {"act": token(client.get(path).content.decode()), **told}, follow=True)


# ------------------------------------------------------------------ add, clean, take out of use


@pytest.mark.parametrize("role", [role for role in ROLES if role != "visitor"])
def test_whoever_works_here_adds_cleans_and_takes_out_of_use(cast: Cast, role: str) -> None:
    added = plain(sent(cast, "add_tool", role, kind="thief", words="red cord", kept="on"))
    assert "was added to the sampling gear, kept for untested oil. Write its code on it." in added
    assert "red cord" in added
    code = Tool.objects.get(words="red cord").code
    cleaned = plain(sent(cast, "clean_tool", role, {"tool": code}, with_what="kerosene", how="rinsed twice"))
    assert f"Sampling gear {spaced(code)} was cleaned with kerosene: rinsed twice" in cleaned
    out = plain(sent(cast, "retire_tool", role, {"tool": code}, reason="it is bent"))
    assert "was taken out of use: it is bent" in out
    assert "Take it out of use" not in out


def test_a_visitor_reads_and_changes_nothing(cast: Cast) -> None:
    code = cast.words["tool"]
    page = shown(cast, "tool", "visitor", tool=code)
    assert "Write down that it was cleaned" not in page
    assert "Add a piece of gear" not in shown(cast, "tools", "visitor")


@pytest.mark.parametrize(
    ("name", "told", "says"),
    [
        ("add_tool", {"words": "red cord"}, "Pick what kind of gear it is."),
        ("add_tool", {"kind": "bucket", "words": "red cord"}, "This is none of the answers; pick one."),
        ("add_tool", {"kind": "other"}, "Write what it is; “something else” alone"),
        ("add_tool", {"kind": "thief", "words": "x" * 121}, "121 characters long and 120 fit"),
        ("add_tool", {"kind": "thief", "words": "red cord", "when": "2999-01-01T00:00"}, "lies in the future"),
        ("clean_tool", {"with_what": "kerosene"}, "Write how it was cleaned."),
        ("clean_tool", {"how": "rinsed twice"}, "Write with what it was cleaned."),
        ("retire_tool", {"reason": ""}, "Write why it is taken out of use"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_lost(cast: Cast, name: str, told: dict[str, str], says: str) -> None:
    words = {} if name == "add_tool" else {"tool": cast.words["tool"]}
    entries = cast.entries()
    answer = sent(cast, name, of=words, **told)
    assert answer.status_code == 422
    assert says in plain(answer)
    for typed in set(told.values()) & {"red cord", "kerosene", "rinsed twice"}:
        assert typed in answer.content.decode()
    assert cast.entries() == entries


def test_a_refusal_of_the_act_stands_over_the_form(cast: Cast) -> None:
    gear = gear_of(cast)
    tube = gear.tool("tube", single_use=True)
    answer = sent(cast, "clean_tool", of={"tool": code_of(tube)}, with_what="kerosene", how="rinsed")
    assert answer.status_code == 422
    assert "is made for one use and is not cleaned; take a fresh one" in plain(answer)


def test_the_code_of_gear_finds_it(cast: Cast) -> None:
    code = cast.words["tool"]
    found = cast.client("visitor").get(at(cast, "units"), {"search": spaced(code).lower()})
    assert found["Location"] == at(cast, "tool", tool=code)


def test_the_list_of_gear(cast: Cast) -> None:
    gear = gear_of(cast)
    tube = gear.tool("tube", words="glass", single_use=True)
    gear.filled(gear.unit(), 10, tube)
    page = shown(cast, "tools")
    in_use, _, out = page.partition("Out of use")
    assert spaced(cast.words["tool"]) in in_use
    assert f"{spaced(code_of(tube))} tube, glass; for one use; used" in out
    assert "thief, brass; out of use since" in out
    says = "Do not use it in any other oil before it is cleaned."
    assert in_use.count(says) == 1
    thief = gear.tool()
    assert shown(cast, "tools").count(says) == 1
    gear.filled(gear.unit(), 20, thief)
    assert shown(cast, "tools").count(says) == 2


def test_the_foot_leads_to_the_gear(cast: Cast) -> None:
    assert f'href="{at(cast, "tools")}"' in cast.client("visitor").get(at(cast, "next")).content.decode()


def test_a_long_trace_shows_its_end_and_all_of_it_on_demand(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hazmat.views.tools.SHOWN", 2)
    gear = gear_of(cast)
    thief = gear.tool()
    for minute in (10, 20, 30):
        gear.cleaned(thief, minute)
    path = at(cast, "tool", tool=code_of(thief))
    page = plain(cast.client("boss").get(path))
    assert "1 earlier line is left out here" in page
    assert page.partition("Day book")[0].count("Cleaned") == 2
    assert plain(cast.client("boss").get(path, {"whole": "yes"})).partition("Day book")[0].count("Cleaned") == 3


# ------------------------------------------------------------------ where it is used


def test_filling_a_bottle_with_gear_that_was_in_other_oil_is_saved_and_warned_about(cast: Cast) -> None:
    gear = gear_of(cast)
    first, second, thief = gear.unit(), gear.unit(), gear.tool(words="brass thief")
    gear.filled(first, 10, thief)
    code = bottle_of(cast, second)
    words = {"bottle": code}
    form = shown(cast, "hand_bottle", **words)
    assert f"Thief {spaced(code_of(thief))}, brass thief; not cleaned since" in form
    assert spaced(cast.words["tool"]) not in form
    page = plain(sent(cast, "hand_bottle", of=words, what="filled", gave="M", gear=[str(thief)]))
    assert Touch.objects.filter(tool=thief).count() == 2
    assert f"Bottle {spaced(code)}: filled, with gear {spaced(code_of(thief))}." in page
    warning = f"In doubt. The thief {spaced(code_of(thief))} was in other oil before: {spaced(now(first).tag)}, tank,"
    assert warning in page
    assert f"In doubt: the thief {spaced(code_of(thief))} was in other oil before, and no cleaning" in page
    assert "Draw a fresh sample with clean gear" in page
    assert f"with the thief {spaced(code_of(thief))}" in page


def bottle_of(cast: Cast, unit: UUID) -> str:
    """An empty bottle of this unit."""
    from hazmat.actions.bottles import label_bottle

    made = label_bottle(gear_of(cast).order(5), unit=unit, space="tank").the("hazmat.bottle")
    return Bottle.objects.get(pk=made).code


def test_without_doubt_nothing_is_warned_about(cast: Cast) -> None:
    gear = gear_of(cast)
    thief, syringe = gear.tool(), gear.tool("syringe")
    words = {"bottle": bottle_of(cast, gear.unit())}
    page = plain(sent(cast, "hand_bottle", of=words, what="filled", gave="M", gear=[str(thief), str(syringe)]))
    assert "In doubt" not in page
    assert Touch.objects.filter(tool__in=[thief, syringe]).count() == 2


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"what": "spoiled"}, "Gear is named where a bottle is filled; untick it"),
        ({"what": "filled", "gave": "M", "gear": ["019ac000-0000-7000-8000-000000000000"]}, "none of the answers"),
    ],
)
def test_gear_that_does_not_fit_is_asked_about(cast: Cast, told: dict[str, Any], says: str) -> None:
    gear = gear_of(cast)
    words, thief = {"bottle": bottle_of(cast, gear.unit())}, gear.tool()
    answer = sent(cast, "hand_bottle", of=words, **{"gear": [str(thief)], "note": "by the creek", **told})
    assert (answer.status_code, says in plain(answer)) == (422, True)
    assert "by the creek" in answer.content.decode()
    assert not Hand.objects.exists()


def test_shots_in_a_cell_with_a_code(cast: Cast) -> None:
    gear = gear_of(cast)
    first, second, cell = gear.unit(), gear.unit(), gear.tool("cell", words="glass cup")
    gear.shot(first, 10, cell)
    words = {"tag": now(second).tag}
    assert f"Test cell {spaced(code_of(cell))}, glass cup; not cleaned since" in shown(
        cast, "record_breakdown", **words
    )
    page = plain(sent(cast, "record_breakdown", of=words, **SHOTS, space="tank", coded=str(cell)))
    assert (page.count("In doubt. The test cell"), page.count("In doubt: the test cell")) == (1, 1)
    assert "Clean the cell, fill it anew and shoot again" in page
    assert "test for PCB first, or use a cell that is kept for untested oil" in page
    (test,) = now(second).breakdowns
    form = cast.client("boss").get(at(cast, "correct_breakdown", breakdown=test.id, **words)).content.decode()
    assert f'<option value="{cell}" selected>' in form


def test_a_cell_kept_for_untested_oil_needs_no_caution(cast: Cast) -> None:
    gear = gear_of(cast)
    unit, cell = gear.unit(), gear.tool("cell", kept=True)
    words = {"tag": now(unit).tag}
    page = plain(sent(cast, "record_breakdown", of=words, **SHOTS, space="tank", coded=str(cell)))
    assert f"Test cell{spaced(code_of(cell))}, kept for untested oil" in page
    assert "test for PCB first" not in page


def test_a_cell_with_a_code_and_words_about_another_one(cast: Cast) -> None:
    gear = gear_of(cast)
    unit, cell = gear.unit(), gear.tool("cell")
    words = {"tag": now(unit).tag}
    told = {**SHOTS, "space": "tank", "coded": str(cell), "cell": "kept"}
    answer = sent(cast, "record_breakdown", of=words, **told)
    assert answer.status_code == 422
    assert "The cell that you picked says itself what it is kept for" in plain(answer)
    assert now(unit).breakdowns == ()


# ------------------------------------------------------------------ where doubt is said


@pytest.fixture
def doubted(cast: Cast) -> tuple[Unit, str]:
    """A unit with a result of a bottle in doubt, and the code of that bottle."""
    gear = gear_of(cast)
    first, second, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(first, 10, thief)
    code = gear.filled(second, 20, thief)
    told = reported("61", bottle=code, reported_on=localdate())
    enter_result(order(gear.yard, gear.by), unit=second, told=told, place="NZ")
    assert len(doubts(second)) == 1
    return Unit.objects.get(pk=second), code


def test_the_unit_its_bottle_and_its_verdict_say_that_a_sample_is_in_doubt(
    cast: Cast, doubted: tuple[Unit, str]
) -> None:
    unit, code = doubted
    page = shown(cast, "unit", "visitor", tag=unit.tag)
    assert page.count("In doubt. The thief") == 1
    assert f"Its sample is in doubt, as the page of bottle {spaced(code)} says." in page
    assert "In doubt. The thief" in shown(cast, "bottle", "visitor", bottle=code)
    assert "a low result stays, and an above counts" in shown(cast, "sign_verdict", tag=unit.tag)


def test_whoever_reads_a_verdict_a_second_time_reads_the_doubt_too(cast: Cast, doubted: tuple[Unit, str]) -> None:
    unit, _ = doubted
    gear = gear_of(cast)
    named = particulars(gear.yard)
    set_yard(order(gear.yard, gear.by), based_on=named.pk, name=named.name, two=True)
    result = Result.objects.get(unit=unit)
    told = {"decision": "pcb_route", "reason": "over the line", "evidence": [str(result.pk)]}
    assert sign(cast, unit, told) == 302
    verdict = now(unit.pk).verdicts[-1]
    assert "In doubt. The thief" in shown(cast, "second_verdict", "manager", verdict=verdict.id)


def sign(cast: Cast, unit: Unit, told: dict[str, Any]) -> int:
    client, path = cast.client("boss"), at(cast, "sign_verdict", tag=unit.tag)
    page = client.get(path).content.decode()
    read = re.search(r'name="read"[^>]*value="([^"]*)"', page)
    assert read
    return client.post(path, {"act": token(page), "read": unescape(read[1]), **told}).status_code


def test_the_page_of_gear_says_what_clings_to_it_and_what_is_in_doubt(cast: Cast, doubted: tuple[Unit, str]) -> None:
    unit, code = doubted
    gear = gear_of(cast)
    (thief,) = tools(gear.yard, touches__hand__bottle__code=code)
    page = shown(cast, "tool", "visitor", tool=thief.code)
    assert f"Do not use it in any other oil before it is cleaned. It was in {spaced(unit.tag)}, tank," in page
    assert page.count("In doubt.") == 1
    assert page.index("was filled") < page.index("In doubt.")
    gear.cleaned(UUID(thief.id), 30)
    assert "Do not use it" not in shown(cast, "tool", "visitor", tool=thief.code)
    assert shown(cast, "unit", tag=unit.tag).count("In doubt. The thief") == 1


def test_the_page_of_a_cell_that_untested_oil_was_in(cast: Cast) -> None:
    gear = gear_of(cast)
    cell = gear.tool("cell")
    gear.shot(gear.unit(), 10, cell)
    page = shown(cast, "tool", tool=code_of(cell))
    assert "Untested oil was in this cell, which is not kept for it: test for PCB first" in page
    assert "A breakdown test was made" in page

"""Gear cards on pages: tasks as links, a card that answers change, a sheet that is printed, the rule of the yard."""

import re
from typing import Any
from uuid import UUID

import pytest
from django.test import Client

from hazmat.actions.papers import issue_paper
from hazmat.actions.units import log_unit
from hazmat.actions.yards import set_yard
from hazmat.book.act import Refused
from hazmat.core.gearcard import TASK_WORDS
from hazmat.core.wear import CALM
from hazmat.edge.gear import Answers, on_record, together, worse_care
from hazmat.models import Paper, Person, Yard
from hazmat.papers.gearsheet import Cards
from hazmat.queries.papers import outdated
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts
from tests.cast import LINE, Cast, file_of, look_in, order
from tests.hazmat.test_pages import at, token

pytestmark = pytest.mark.django_db


def logged(yard: Yard, boss: Person, **more: Any) -> UUID:
    return log_unit(order(yard.pk, boss.pk), look=look_in(**more), place="NZ").the("hazmat.unit")


def words(client: Client, path: str, **asked: str) -> str:
    """A page without its marks, white space folded."""
    answer = client.get(path, asked)
    assert answer.status_code == 200
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def worn(page: str) -> str:
    """What stands under the head on what to wear."""
    return page.partition("What to wear")[2].partition("Never")[0]


def test_the_tasks_are_plain_links(cast: Cast) -> None:
    client, tag = cast.client("visitor"), cast.words["tag"]
    page = client.get(at(cast, "gear", tag=tag)).content.decode()
    for task, says in TASK_WORDS.items():
        assert f'href="{at(cast, "gear_card", tag=tag, task=task)}"' in page
        assert says in page
    assert at(cast, "gear", tag=tag) in client.get(at(cast, "unit", tag=tag)).content.decode()
    assert client.get(at(cast, "gear_card", tag=tag, task="dance")).status_code == 404
    assert client.get(at(cast, "gear", tag="222222")).status_code == 404


def test_a_card_tells_all_that_a_card_tells(cast: Cast) -> None:
    page = words(cast.client("visitor"), at(cast, "gear_card", tag=cast.words["tag"], task="sample"))
    for wanted in (
        "HOLD", "Take a sample", "Nitrile gauntlets", "Never", "PVC, latex", "Who may", "Within reach", "Eyewash",
        "How long", "one hour", "Wash", "No food, drink or smoke", "Stop and leave", "our judgement:",
        "read:", "from memory:", "Sources, by their numbers", "DGUV-IFA project 3123",
        "This yard goes by this one", "About the work", "Is the oil hot, above 40 °C?",
    ):  # fmt: skip
        assert wanted in page, wanted
    assert "Print this card" not in page
    assert "Print this card" in words(
        cast.client("yard_hand"), at(cast, "gear_card", tag=cast.words["tag"], task="sample")
    )


def test_every_picture_stands_beside_its_words(cast: Cast) -> None:
    page = cast.client("visitor").get(at(cast, "gear_card", tag=cast.words["tag"], task="drain")).content.decode()
    lines = re.findall(r"<li>(<svg.*?</svg>)<div>(.*?)<", page, re.DOTALL)
    bold = re.findall(r"<li><svg.*?</svg><div><b>(.*?)</b>", page, re.DOTALL)
    assert len(lines) >= 9
    assert len(bold) >= 8
    assert all(len(says) > 5 for says in bold)


def test_an_answer_changes_the_card_and_nothing_is_kept(cast: Cast) -> None:
    client, path = cast.client("visitor"), at(cast, "gear_card", tag=cast.words["tag"], task="drain")
    before = cast.entries()
    unsaid, calm = words(client, path), words(client, path, **CALM)
    assert "More than task and care ask for" in unsaid
    assert "More than task and care ask for" not in calm
    assert "Mask for organic vapour" in worn(calm)
    assert "Powered full-face mask" in worn(unsaid)
    assert worn(words(client, path, **{**CALM, "hot": "unknown"})) == worn(
        words(client, path, **{**CALM, "hot": "yes"})
    )
    assert "Breathing apparatus" in worn(words(client, path, **{**CALM, "pcb_name": "yes"}))
    assert "Breathing apparatus" in worn(words(client, path, **CALM, air="above"))
    assert cast.entries() == before


def test_an_answer_that_is_none_is_named_and_counts_as_not_said(cast: Cast) -> None:
    client, path = cast.client("visitor"), at(cast, "gear_card", tag=cast.words["tag"], task="drain")
    page = words(client, path, **{**CALM, "hot": "perhaps"})
    assert "This is none of the answers; pick yes, no or don&#x27;t know." in page
    assert "Powered full-face mask" in worn(page)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"glove": "thin_nitrile"}, "Never alone: thin disposable nitrile"),
        ({"glove": "gauntlet", "wet": "0.5"}, "Wear it on, and change it before an hour"),
        ({"glove": "gauntlet", "wet": "1"}, "Change it now"),
        ({"glove": "gauntlet"}, "Change it now"),
        ({"glove": "gauntlet", "wet": "0", "before": "on"}, "Never again"),
        ({"glove": "gauntlet", "wet": "many"}, "This is no plain number"),
    ],
)
def test_the_gloves_that_somebody_wears(given: dict[str, str], says: str, cast: Cast) -> None:
    path = at(cast, "gear_card", tag=cast.words["tag"], task="sample")
    assert says in words(cast.client("visitor"), path, **{**CALM, **given})


def test_what_the_book_knows_only_raises(yard: Yard, boss: Person) -> None:
    dry, wet = (UNITS.kept(logged(yard, boss, leak=leak)) for leak in ("none", "dripping"))
    assert dry is not None
    assert wet is not None
    assert on_record(dry) == {"leak": "no", "hot_leak": "no"}
    assert on_record(wet) == {"leak": "yes"}
    assert together(on_record(wet), {"leak": "no"})["leak"] == "yes"
    assert together(on_record(dry), {"leak": "yes"}) == {"leak": "yes"}
    assert together(on_record(dry), {"leak": "unknown", "hot_leak": "yes"}) == {"leak": "unknown", "hot_leak": "yes"}
    unknown = UNITS.kept(logged(yard, boss, leak="unknown"))
    assert unknown is not None
    assert on_record(unknown) == {"leak": "unknown"}
    said = UNITS.kept(logged(yard, boss, line={**LINE, "state": "leaking"}))
    assert said is not None
    assert on_record(said) == {"leak": "yes"}


@pytest.mark.parametrize(
    ("cares", "worst"),
    [(("lt2", "2_49"), "2_49"), (("50_499", "lt2"), "50_499"), (("unknown", "lt2"), "ge500"), (("",), "ge500")],
)
def test_the_worse_care_counts(cares: tuple[str, ...], worst: str) -> None:
    assert worse_care(*cares) == worst


# ------------------------------------------------------------------ printing


def test_a_sheet_is_printed_and_sealed(cast: Cast) -> None:
    client, tag = cast.client("technician"), cast.words["tag"]
    where = at(cast, "gear", tag=tag)
    act = token(client.get(where).content.decode())
    asked = {"act": act, "tasks": ["look", "drain"], "hot": "no", "air": "unknown"}
    sent = client.post(where, asked)
    paper = Paper.objects.exclude(pk=cast.words["paper"]).get()
    assert sent["Location"] == at(cast, "paper", paper=paper.pk)
    assert file_of(client.get(at(cast, "paper_pdf", paper=paper.pk)))[:5] == b"%PDF-"
    client.post(where, asked)
    assert Paper.objects.count() == 2
    unit = words(client, at(cast, "unit", tag=tag))
    assert f"Gear card {paper.number}" in unit
    assert words(client, at(cast, "paper", paper=paper.pk)).startswith("Gear cards")


@pytest.mark.parametrize(
    ("tasks", "says"),
    [([], "Tick one to 4 tasks"), (list(TASK_WORDS)[:5], "Tick one to 4 tasks"), (["dance"], "none of the answers")],
)
def test_a_sheet_that_cannot_be_is_refused_with_what_was_answered(tasks: list[str], says: str, cast: Cast) -> None:
    client, where = cast.client("technician"), at(cast, "gear", tag=cast.words["tag"])
    act = token(client.get(where).content.decode())
    answer = client.post(where, {"act": act, "tasks": tasks, "hot": "yes", "air": "unknown"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert says in page
    assert '<input type="hidden" name="hot" value="yes">' in page
    assert Paper.objects.count() == 1


def cards(*tasks: str, **said: str) -> Cards:
    return Cards(tasks=tasks, answers=Answers(said=said))


def test_a_sheet_replaces_the_last_one_of_the_same_tasks(yard: Yard, boss: Person) -> None:
    unit = logged(yard, boss)
    first, other, again = (
        issue_paper(order(yard.pk, boss.pk), unit=unit, kind="gear_card", cards=cards(*tasks)).the("hazmat.paper")
        for tasks in (("look", "drain"), ("spill",), ("look", "drain"))
    )
    assert [Paper.objects.get(pk=one).replaces_id for one in (first, other, again)] == [None, None, first]


@pytest.mark.parametrize("given", [None, cards(), cards("look", "look"), cards(*list(TASK_WORDS)[:5])])
def test_no_sheet_without_one_to_four_cards(given: Cards | None, yard: Yard, boss: Person) -> None:
    with pytest.raises(Refused, match="tick one to four tasks"):
        issue_paper(order(yard.pk, boss.pk), unit=logged(yard, boss), kind="gear_card", cards=given)


def test_no_cards_on_another_paper(yard: Yard, boss: Person) -> None:
    with pytest.raises(Refused, match="tick one to four tasks"):
        issue_paper(order(yard.pk, boss.pk), unit=logged(yard, boss), kind="notice", cards=cards("look"))


def test_each_sheet_is_outdated_for_itself(yard: Yard, boss: Person) -> None:
    """Another rule on respirators changes what each card says; a sheet of other tasks takes no other one's place."""
    unit = logged(yard, boss)
    for tasks in (("look",), ("drain",)):
        issue_paper(order(yard.pk, boss.pk), unit=unit, kind="gear_card", cards=cards(*tasks, **CALM))
    now = UNITS.kept(unit)
    assert now is not None
    assert outdated(now, yard_facts(particulars(yard.pk))) == []
    set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", air="mask")
    found = outdated(now, yard_facts(particulars(yard.pk)))
    assert [one.title for one in found] == ["Gear cards", "Gear cards"]


# ------------------------------------------------------------------ the rule of the yard


def test_the_yard_picks_its_rule_and_both_are_shown(cast: Cast) -> None:
    client, where = cast.client("manager"), at(cast, "set_yard")
    card = at(cast, "gear_card", tag=cast.words["tag"], task="drain")
    strict = words(client, card, **CALM, air="above")
    assert "Breathing apparatus" in worn(strict)
    page = client.get(where).content.decode()
    based = re.search(r'name="based_on" value="([^"]+)"', page)
    assert based
    given = {"act": token(page), "name": "Test Yard", "air": "mask", "guard": "", "based_on": based[1]}
    assert client.post(where, given).status_code == 302
    other = words(client, card, **CALM, air="above")
    assert "Mask for organic vapour" in worn(other)
    for page in (strict, other):
        assert "only supplied air or breathing apparatus at positive pressure" in page
        assert "a mask with twin cartridges for chlorinated vapour" in page
    assert "twin cartridges for chlorinated vapour where vapour is suspected. This yard goes by this one" in other
    assert "Rule on respirators a mask with cartridges" in words(client, at(cast, "keeping"))


def test_a_rule_that_is_none_is_refused(yard: Yard, boss: Person) -> None:
    with pytest.raises(Refused, match="whose rule on respirators"):
        set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", air="none")

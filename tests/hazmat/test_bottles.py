"""Sample bottles: one label for one oil space, each hand by name, nothing filled before it was proved dead."""

from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.urls import reverse
from django.utils import timezone

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.codes import drawn
from hazmat.actions.papers import issue_paper
from hazmat.actions.units import correct_unit, log_unit, prove_dead
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.core.unitnow import UnitNow
from hazmat.models import Bottle, Hand, Paper, Person, Space, Unit, Yard
from hazmat.queries.units import UNITS
from tests.cast import LINE, Cast, look_in, opened, order, person

pytestmark = [pytest.mark.both, pytest.mark.django_db]
DEAD = {
    "dead": "yes", "how": "detector before and after", "proved_by": "Mere Example", "detector_before": True,
    "detector_after": True, "back_feed": True, "earthed": True,
}  # fmt: skip


def unit_now(yard: Yard, boss: Person, line: dict[str, Any] = LINE, **more: Any) -> UnitNow:
    seen = log_unit(order(yard.pk, boss.pk), look=look_in(line=line, **more), place="NZ")
    return again(UUID(str(seen.the("hazmat.unit"))))


def again(unit: UUID | str) -> UnitNow:
    found = UNITS.kept(UUID(str(unit)))
    assert found is not None
    return found


def labelled(yard: Yard, boss: Person, now: UnitNow, space: str = "tank") -> UUID:
    return label_bottle(order(yard.pk, boss.pk), unit=UUID(now.unit), space=space).the("hazmat.bottle")


def handed(yard: Yard, boss: Person, bottle: UUID, what: Any, **more: Any) -> Any:
    return hand_bottle(order(yard.pk, boss.pk), bottle=bottle, what=what, place="NZ", **more)


def test_a_whole_trail(yard: Yard, boss: Person) -> None:
    now = unit_now(yard, boss, proved=DEAD)
    bottle = labelled(yard, boss, now)
    handed(yard, boss, bottle, "filled", names={"gave": "Mere Example"}, point="bottom", note="dry, 12 °C")
    handed(yard, boss, bottle, "handed_on", names={"gave": "Mere Example", "took": "A Courier"})
    handed(yard, boss, bottle, "at_laboratory", names={"took": "Bench Two"})
    handed(yard, boss, bottle, "destroyed")
    (kept,) = again(now.unit).bottles
    assert [one.what for one in kept.trail] == ["filled", "handed_on", "at_laboratory", "destroyed"]
    assert (kept.state, kept.point, kept.unbroken) == ("destroyed", "bottom", True)
    assert again(now.unit).oil_spaces[kept.space] == "tank"
    assert words_of([kept.trail[1].record]) == {"gave": "Mere Example", "took": "A Courier"}
    assert not [body for body in Entry.objects.values_list("body", flat=True) if "Courier" in body or "Bench" in body]
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == again(now.unit)
    assert prove().faults == []


def test_nothing_is_filled_before_it_is_proved_dead(yard: Yard, boss: Person) -> None:
    now = unit_now(yard, boss)
    bottle = labelled(yard, boss, now)
    with pytest.raises(Refused, match="nobody has written down that it was proved dead"):
        handed(yard, boss, bottle, "filled", names={"gave": "Mere Example"})
    assert not Hand.objects.exists()
    prove_dead(order(yard.pk, boss.pk), unit=UUID(now.unit), proved=DEAD)
    handed(yard, boss, bottle, "filled", names={"gave": "Mere Example"})
    assert again(now.unit).bottles[0].state == "filled"


def test_a_sealed_can_is_not_sampled(yard: Yard, boss: Person) -> None:
    now = unit_now(yard, boss, {"kind": "capacitor"}, proved=DEAD)
    bottle = labelled(yard, boss, now)
    with pytest.raises(Refused, match="a sealed can is not opened"):
        handed(yard, boss, bottle, "filled", names={"gave": "Mere Example"})
    handed(yard, boss, bottle, "spoiled")


def test_a_drum_is_sampled_without_a_proof_of_death(yard: Yard, boss: Person) -> None:
    now = unit_now(yard, boss, {"kind": "drum"})
    bottle = labelled(yard, boss, now)
    handed(yard, boss, bottle, "filled", names={"gave": "Mere Example"})
    assert again(now.unit).bottles[0].filled_at


def test_a_bottle_is_of_one_oil_space_that_is_on_record(yard: Yard, boss: Person) -> None:
    now = unit_now(yard, boss, {**LINE, "spaces": [{"name": "tap changer"}]})
    labelled(yard, boss, now, "tap changer")
    with pytest.raises(Refused, match="no oil space “conservator” on record"):
        labelled(yard, boss, now, "conservator")
    look = look_in(line={**LINE, "spaces": [{"name": "tap changer"}, {"name": "conservator"}]})
    correct_unit(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), look=look, place="NZ")
    bottle = labelled(yard, boss, now, "conservator")
    assert Bottle.objects.get(pk=bottle).space.name == "conservator"
    labelled(yard, boss, now, "conservator")
    assert Space.objects.filter(unit=now.unit, name="conservator").count() == 1
    codes = [one.code for one in again(now.unit).bottles]
    assert len(set(codes)) == 3
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == again(now.unit)


def test_no_step_lies_before_the_one_before_it(yard: Yard, boss: Person) -> None:
    now = unit_now(yard, boss, proved=DEAD)
    noon = timezone.now()
    with pytest.raises(Refused, match="before the unit was logged"):
        label_bottle(order(yard.pk, boss.pk, happened_at=noon - timedelta(days=1)), unit=UUID(now.unit), space="tank")
    bottle = label_bottle(order(yard.pk, boss.pk, happened_at=noon), unit=UUID(now.unit), space="tank").the(
        "hazmat.bottle"
    )
    early = order(yard.pk, boss.pk, happened_at=noon - timedelta(microseconds=1))
    with pytest.raises(Refused, match="before the last step, labelled"):
        hand_bottle(early, bottle=bottle, what="filled", place="NZ", names={"gave": "Mere Example"})
    same = order(yard.pk, boss.pk, happened_at=noon)
    hand_bottle(same, bottle=bottle, what="filled", place="NZ", names={"gave": "Mere Example"})
    assert again(now.unit).bottles[0].state == "filled"


def test_a_bottle_of_another_yard_is_not_there(yard: Yard, boss: Person) -> None:
    bottle = labelled(yard, boss, unit_now(yard, boss))
    other = opened(person("other"), "Other Yard", "US", state="US-OR")
    with pytest.raises(Refused, match="no such bottle"):
        hand_bottle(order(other.pk, boss.pk), bottle=bottle, what="spoiled", place="US-OR")


def test_a_label_replaces_the_label_of_its_own_bottle_alone(yard: Yard, boss: Person) -> None:
    now = unit_now(yard, boss)
    labelled(yard, boss, now)
    labelled(yard, boss, now)
    one, two = (bottle.code for bottle in again(now.unit).bottles)
    asked = {"unit": UUID(now.unit), "kind": "bottle_label"}
    papers = [
        issue_paper(order(yard.pk, boss.pk), **asked, bottle=code).the("hazmat.paper") for code in (one, two, one)
    ]
    replaced = [Paper.objects.get(pk=paper).replaces_id for paper in papers]
    assert replaced == [None, None, papers[0]]
    assert [paper.bottle for paper in again(now.unit).papers] == [one, two, one]
    for wrong in (
        {"kind": "bottle_label"},
        {"kind": "bottle_label", "bottle": "222222"},
        {"kind": "notice", "bottle": one},
        {"kind": "notice", "bottle": "222222"},
    ):
        with pytest.raises(Refused, match="Open the bottle first"):
            issue_paper(order(yard.pk, boss.pk), **{**asked, **wrong})
    assert prove().faults == []


def test_no_bottle_and_no_unit_share_a_code(yard: Yard, boss: Person) -> None:
    """A code is all that somebody types: a tag printed elsewhere may be the next one that would be drawn."""
    now = unit_now(yard, boss)
    next_code = drawn(yard.pk, now_seq(yard) + 2, 0)
    log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ", tag=next_code)
    bottle = labelled(yard, boss, now)
    code = Bottle.objects.get(pk=bottle).code
    assert code != next_code
    assert not Unit.objects.filter(tag=code).exists()
    with pytest.raises(Refused, match="is the code of a bottle"):
        log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ", tag=code)


def now_seq(yard: Yard) -> int:
    return Yard.objects.get(pk=yard.pk).seq


def test_a_moment_that_no_calendar_of_ours_holds_is_a_slip(cast: Cast) -> None:
    """The year 1 in Auckland began in the year 0 of UTC, which no date of the program can say."""
    client = cast.client("technician")
    for name, words, told in (
        ("hand_bottle", {"bottle": cast.words["bottle"]}, {"what": "spoiled"}),
        ("label_bottle", {"tag": cast.words["tag"]}, {"space": "tank"}),
        ("prove_dead", {"tag": cast.words["tag"]}, {"dead": "no"}),
    ):
        where = reverse(name, kwargs={"yard": cast.yard, **words})
        told = {"act": token(client.get(where).content.decode()), "when": "0001-01-01T00:00", **told}
        page = client.post(where, told)
        assert page.status_code == 422
        assert "This lies before 1950" in page.content.decode()


# ------------------------------------------------------------------ pages


def token(page: str) -> str:
    return page.split('name="act"', 1)[1].split('value="', 1)[1].split('"', 1)[0]


def test_the_pages_of_a_bottle(cast: Cast) -> None:
    client = cast.client("technician")
    tag, code = cast.words["tag"], cast.words["bottle"]
    unit = reverse("unit", kwargs={"yard": cast.yard, "tag": tag})
    hand = reverse("hand_bottle", kwargs={"yard": cast.yard, "bottle": code})
    assert hand.rsplit("hand/")[0] in client.get(unit).content.decode()
    told = {"act": token(client.get(hand).content.decode()), "what": "filled", "gave": "Mere Example"}
    refused = client.post(hand, told)
    assert refused.status_code == 422
    assert "nobody has written down that it was proved dead" in refused.content.decode()
    assert "Mere Example" in refused.content.decode()
    prove_dead(order(cast.yard_id, cast.people["boss"].pk), unit=UUID(unit_of(cast)), proved=DEAD)  # type: ignore[arg-type]
    assert client.post(hand, told).status_code == 302
    again_ = client.post(hand, told)
    assert Hand.objects.count() == 1, again_.status_code
    page = client.get(reverse("bottle", kwargs={"yard": cast.yard, "bottle": code})).content.decode()
    assert "by Mere Example" in page
    assert (
        "Mere"
        not in cast.client("visitor")
        .get(reverse("bottle", kwargs={"yard": cast.yard, "bottle": code}))
        .content.decode()
    )


def unit_of(cast: Cast) -> str:
    return str(Bottle.objects.get(code=cast.words["bottle"]).unit_id)


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"what": "filled"}, "Write who drew the sample"),
        ({"what": "handed_on", "gave": "x"}, "This cannot follow"),
        ({"gave": "Mere Example"}, "Pick what happened to it"),
        ({"what": "spoiled", "when": "2999-01-01T00:00"}, "This lies in the future"),
        ({"what": "spoiled", "when": "yesterday"}, "When was that?"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_lost(cast: Cast, told: dict[str, str], says: str) -> None:
    client = cast.client("technician")
    hand = reverse("hand_bottle", kwargs={"yard": cast.yard, "bottle": cast.words["bottle"]})
    told = {"act": token(client.get(hand).content.decode()), "note": "by the creek", **told}
    page = client.post(hand, told)
    assert page.status_code == 422
    assert says in page.content.decode()
    assert "by the creek" in page.content.decode()
    assert not Hand.objects.exists()


def test_the_label_is_printed_from_the_page_of_the_bottle(cast: Cast) -> None:
    client, code = cast.client("yard_hand"), cast.words["bottle"]
    page = client.get(reverse("bottle", kwargs={"yard": cast.yard, "bottle": code})).content.decode()
    told = {"act": token(page), "kind": "bottle_label", "bottle": code}
    done = client.post(reverse("issue_paper", kwargs={"yard": cast.yard, "tag": cast.words["tag"]}), told)
    paper = Paper.objects.get(kind="bottle_label")
    assert done["Location"] == reverse("paper", kwargs={"yard": cast.yard, "paper": paper.pk})
    shown = client.get(done["Location"]).content.decode()
    assert "Bottle label" in shown
    assert paper.seal.size > 1000


def test_the_code_of_a_bottle_finds_it(cast: Cast) -> None:
    code = cast.words["bottle"]
    units = reverse("units", kwargs={"yard": cast.yard})
    found = cast.client("visitor").get(units, {"search": f"{code[:3]} {code[3:]}"})
    assert found["Location"] == reverse("bottle", kwargs={"yard": cast.yard, "bottle": code})


def test_a_label_by_page(cast: Cast) -> None:
    client = cast.client("technician")
    label = reverse("label_bottle", kwargs={"yard": cast.yard, "tag": cast.words["tag"]})
    page = client.get(label).content.decode()
    assert "One oil space, one bottle, one label" in page
    assert client.post(label, {"act": token(page), "space": "tank"}).status_code == 302
    assert client.post(label, {"act": token(page), "space": "moon"}).status_code == 422
    assert Bottle.objects.count() == 2

"""The sampling plan of a unit: nothing before a whole proof of death, bottles by oil space, a sample spoken against."""

from typing import Any
from uuid import UUID

from django.urls import reverse

from hazmat.actions.bottles import label_bottle
from hazmat.actions.papers import issue_paper
from hazmat.actions.units import log_unit, prove_dead
from hazmat.book.canonical import parsed
from hazmat.models import Paper
from hazmat.queries.papers import outdated
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts
from tests.cast import Cast, look_in, order
from tests.hazmat.signing import DEAD
from tests.hazmat.test_tool_pages import plain


def asked(cast: Cast) -> Any:
    return order(cast.yard_id, cast.people["boss"].pk)


def logged(cast: Cast, **more: Any) -> UUID:
    return log_unit(asked(cast), look=look_in(**more), place="NZ").the("hazmat.unit")


def shown(cast: Cast, unit: UUID) -> str:
    now = UNITS.kept(unit)
    assert now is not None
    return plain(cast.client("technician").get(reverse("sampling_plan", args=(cast.yard, now.tag))))


def test_before_a_proof_it_says_what_that_lacks(cast: Cast) -> None:
    unit = logged(cast)
    page = shown(cast, unit)
    assert "What the proof of death lacks" in page
    for words in ("Proved dead by a competent person", "Detector tried before", "Feeding back shut out", "Earths on"):
        assert words in page
    assert "In this order" not in page
    prove_dead(asked(cast), unit=unit, proved={**DEAD, "earthed": False})
    page = shown(cast, unit)
    assert "Earths on" in page
    assert "Detector tried before" not in page
    assert "In this order" not in page


def test_proved_dead_it_tells_the_order_and_the_bottles(cast: Cast) -> None:
    unit = logged(cast)
    prove_dead(asked(cast), unit=unit, proved=DEAD)
    assert "Tank: no bottle is labelled yet." in shown(cast, unit)
    label_bottle(asked(cast), unit=unit, space="tank")
    page = shown(cast, unit)
    assert "labelled and empty" in page
    assert page.index("In this order") < page.index("Check the pressure") < page.index("Beside that")
    assert "Run off some 2 L first" in page
    assert "IEC 60422:2013" in page


def test_for_a_listed_fluid_it_speaks_against_a_sample_first(cast: Cast) -> None:
    unit = logged(cast, line={"kind": "transformer", "fluid": "askarel", "built": "1965"})
    page = shown(cast, unit)
    assert "Do not sample it first. Treating it as PCB without any sample is a whole answer" in page
    assert page.index("Do not sample it first.") < page.index("What the proof of death lacks")


def test_a_sealed_can_is_not_sampled(cast: Cast) -> None:
    unit = logged(cast, line={"kind": "capacitor", "built": "1970"})
    prove_dead(asked(cast), unit=unit, proved=DEAD)
    page = shown(cast, unit)
    assert "a sealed can is not opened" in page
    assert "Bottles to bring" not in page


def test_a_sealed_part_gets_no_bottle(cast: Cast) -> None:
    spaces = [{"name": "bushing", "kind": "bushing", "sealed": True}]
    unit = logged(cast, line={"kind": "transformer", "fluid": "mineral", "built": "1970", "spaces": spaces})
    prove_dead(asked(cast), unit=unit, proved=DEAD)
    assert "Bushing: sealed, no bottle." in shown(cast, unit)


def test_it_prints_and_is_outdated_once_somebody_proves_it_dead(cast: Cast) -> None:
    unit = logged(cast)
    paper = issue_paper(asked(cast), unit=unit, kind="sampling_plan").the("hazmat.paper")
    frozen = parsed(Paper.objects.get(pk=paper).payload)
    assert frozen["lacks"][0] == "Proved dead by a competent person"
    assert outdated_of(cast, unit) == []
    prove_dead(asked(cast), unit=unit, proved=DEAD)
    assert outdated_of(cast, unit) == ["Sampling plan"]
    issue_paper(asked(cast), unit=unit, kind="sampling_plan")
    assert outdated_of(cast, unit) == []


def outdated_of(cast: Cast, unit: UUID) -> list[str]:
    now = UNITS.kept(unit)
    assert now is not None
    assert cast.yard_id is not None
    return [one.title for one in outdated(now, yard_facts(particulars(cast.yard_id)))]

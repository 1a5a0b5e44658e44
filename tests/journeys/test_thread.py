"""One unit from the first look to the certificate, by the forms of the pages alone, as its people would send them."""

import re
from datetime import datetime

import pytest

from hazmat.book.prove import prove
from tests.journeys.walking import LOOK, ZONE, Walk

pytestmark = [pytest.mark.both, pytest.mark.django_db(transaction=True)]

CODE = re.compile(r"/drums/([A-Z2-9]{6})/")


def sampled(walk: Walk, tag: str) -> str:
    """A bottle of the tank, filled and at the laboratory; its code."""
    bottle = walk.send(f"units/{tag}/bottles/", space="tank").rstrip("/").rsplit("/", 1)[1]
    walk.send(f"bottles/{bottle}/hand/", what="filled", gave="Mere Example", point="bottom")
    walk.send(f"bottles/{bottle}/hand/", what="at_laboratory", took="Test Bench")
    return bottle


def logged(walk: Walk, **more: str) -> str:
    """A unit logged by *Look*; its tag."""
    return walk.send("look/", **{**LOOK, **more}).rstrip("/").rsplit("/", 1)[1]


def reported(walk: Walk, tag: str, bottle: str, value: str) -> None:
    """What the laboratory said, a week later."""
    walk.on(7)
    walk.send(
        f"units/{tag}/results/", bottle=bottle, sign="=", value=value, unit="mg/kg", limit="2", uncertainty="10",
        uncertainty_kind="percent", k="2", method="ASTM D4059", accredited="yes", laboratory="Test Bench",
        reported_on=f"{datetime.now(ZONE).date()}",
    )  # fmt: skip


def evidence(walk: Walk, tag: str) -> str:
    """The result that can be named on the page of a verdict."""
    page = walk.client.get(f"/{walk.yard.code}/units/{tag}/verdict/").content.decode()
    found = re.search(r'name="evidence" value="([0-9a-f-]{36})"', page)
    assert found
    return found[1]


def licensed(walk: Walk) -> tuple[str, str]:
    """A carrier and a facility, each with its licence; their ids."""
    found = []
    for name, what in (("Harbour Haulage", "carry"), ("Furnace Point", "take_in")):
        firm = walk.send("partners/add/", name=name, country="US").rstrip("/").rsplit("/", 1)[1]
        walk.send(f"partners/{firm}/licences/", what=what, number=f"{what}-1", since="2025-01-01", until="2026-12-31")
        found.append(firm)
    return found[0], found[1]


def test_from_the_first_look_to_the_certificate(walk: Walk) -> None:
    stores = {"name": "Pinwheel Lane", "stores": "on"}
    walk.send("keeping/yard/", **stores)
    tag = logged(walk)
    assert "HOLD: not proven" in walk.read(f"units/{tag}/")

    reported(walk, tag, sampled(walk, tag), "212")
    assert "Lab says 212 mg/kg" in walk.read(f"units/{tag}/")
    assert "cannot be released" in walk.send(
        f"units/{tag}/verdict/", 422, decision="release", reason="it looks fine", evidence=evidence(walk, tag)
    )
    walk.send(f"units/{tag}/verdict/", decision="pcb_route", reason="above the line", evidence=evidence(walk, tag))
    assert "signed by one person" in walk.read(f"units/{tag}/")

    drum = CODE.search(walk.send("drums/label/", capacity_l="205", un_mark="UN 1A1"))
    assert drum
    code = drum[1]
    key = code_key(walk, tag, code)
    assert "75 L" in walk.send(f"units/{tag}/drain/", 422, into=key, litres="90", space="tank")
    walk.send(f"units/{tag}/drain/", into=key, litres="70", space="tank", all_out="on", tool="p2")
    page = walk.read(f"drums/{code}/")
    assert "70 L" in page
    assert "50 to below 500 ppm" in page
    assert "PDF" in walk.printed(f"drums/{code}/", f"drums/{code}/label/print/")

    carrier, facility = licensed(walk)
    load = walk.send("loads/plan/", carrier=carrier, facility=facility, official="000000001TST").rstrip("/")
    number = load.rsplit("/", 1)[1]
    walk.send(f"loads/{number}/put/", **{f"on_{code}": "on", f"kg_{code}": "80", "code": tag, "kg": "170"})
    assert "PDF" in walk.printed(f"loads/{number}/", f"loads/{number}/sheet/print/")
    typed = {"name": "Mere Example", "inked": "typed", "tick": "on"}
    assert "has to" in walk.send(f"loads/{number}/sign/carrier/", 422, **typed)
    walk.send(f"loads/{number}/sign/yard/", **typed)
    walk.send(f"loads/{number}/sign/carrier/", **typed)
    assert "Gone" in walk.read(f"units/{tag}/")
    walk.on(2)
    walk.send(f"loads/{number}/sign/facility/", **typed)
    walk.send(f"loads/{number}/arrived/", arrival_0="yes", kg_0="80", arrival_1="yes", kg_1="169")

    walk.on(20)
    paper = {"number": "CD-77", "issued_on": f"{datetime.now(ZONE).date()}"}
    slip = code[:-1] + ("A" if code[-1] != "A" else "B")
    near = walk.send(f"loads/{number}/certificate/", 422, **paper, written=f"{slip}\n{tag}")
    assert f"“{slip}” is one slip away from {code[:3]} {code[3:]}" in near
    assert f"No certificate names {code[:3]} {code[3:]}, {tag[:3]} {tag[3:]};" in walk.send(
        f"loads/{number}/close/", 422
    )
    assert "Not settled yet" in walk.read(f"loads/{number}/")
    walk.send(f"loads/{number}/settle/", says_0="two scales")
    walk.send(f"loads/{number}/certificate/", **paper, written=f"{code}\n{tag}")
    walk.send(f"loads/{number}/close/")
    story = walk.read(f"units/{tag}/")
    assert "Proven destroyed" in story
    assert "CD-77" in story
    assert "PROVEN DESTROYED" in walk.printed(f"units/{tag}/", f"units/{tag}/papers/", kind="owner_letter")
    assert not prove().faults


YARD_WORDS = re.compile(r"\b(?:bays?|bunds?|drums?|loads?|partners?|hand-overs?|carriers?|facility)\b", re.IGNORECASE)
"""Words of a yard that keeps drums: somebody alone with a van need not read one of them."""


def test_somebody_alone_stops_after_the_letter_and_meets_no_word_of_a_yard(walk: Walk) -> None:
    tag = logged(walk, arrival="found")
    bottle = sampled(walk, tag)
    reported(walk, tag, bottle, "6.1")
    walk.send(f"units/{tag}/verdict/", decision="release", reason="low, one bottle", evidence=evidence(walk, tag))
    letter = walk.printed(f"units/{tag}/", f"units/{tag}/papers/", kind="owner_letter")
    assert "Released" in walk.read(f"units/{tag}/")
    seen = {
        path: walk.read(path)
        for path in (
            "", "units/", f"units/{tag}/", f"bottles/{bottle}/", f"units/{tag}/results/", f"units/{tag}/verdict/",
            f"units/{tag}/dead/", f"units/{tag}/bottles/", "day-book/", "people/",
        )
    }  # fmt: skip
    for path, says in {**seen, "letter": letter}.items():
        assert not YARD_WORDS.findall(says), (path, YARD_WORDS.findall(says))
    assert not prove().faults


def code_key(walk: Walk, tag: str, code: str) -> str:
    """The id of a drum, as the form of draining offers it."""
    page = walk.client.get(f"/{walk.yard.code}/units/{tag}/drain/").content.decode()
    found = re.search(rf'value="([^"]+)"[^>]*>[^<]*{code[:3]} {code[3:]}', page)
    assert found, page[-3000:]
    return found[1]

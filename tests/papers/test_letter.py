"""The letter to the owner at every stage: what it says, and what it never says. Words are read by poppler."""

import re
from dataclasses import replace
from functools import cache

import pytest

from hazmat import papers
from hazmat.core.unitnow import FateNow, UnitNow
from hazmat.edge.story import story
from hazmat.papers import letter
from tests.papers.conftest import ASIDE, AT, YARDS, unit
from tests.papers.poppler import text_of
from tests.papers.stages import HIGH, LOW, STAGES, result, stage, verdict

CALLED = {"p1": "Sina Signer", "p2": "Bo Second"}
NEVER = ("pcb free", "compliant", "clean", "safe", "harmless", "no pcb", "without pcb", "guarantee")
YARD_WORDS = ("drum", " bay ", "slop", "load ")


def made(now: UnitNow, country: str = "nz", aside: dict[str, str] | None = None) -> papers.Made:
    beside = ASIDE if aside is None else aside
    return papers.payload("owner_letter", now, YARDS[country], beside, "17", AT, "Ana Example", None, CALLED)


def words_of(now: UnitNow, country: str = "nz", aside: dict[str, str] | None = None) -> str:
    paper = made(now, country, aside)
    return text_of(papers.pdf(paper.payload, paper.aside, papers.code(paper.payload)))


@cache
def told(name: str, country: str = "nz") -> str:
    """The words of the letter at a stage, each printed once."""
    return words_of(stage(name, country), country)


@pytest.mark.parametrize("country", YARDS)
@pytest.mark.parametrize("name", STAGES)
def test_every_letter_says_where_it_stands_and_promises_nothing(name: str, country: str) -> None:
    words = told(name, country)
    for head in ("What is proven, and by what", "What is not proven", "What to do now", "What the law asks of you"):
        assert head in words
    assert "K7M 4PK" in words
    assert "It promises nothing beyond that" in words
    assert "Rule book" in words
    assert f"{country}, edition 2026-11-27" in words
    plain = re.sub(r"[-\s]+", " ", words.lower()).replace("safety", "").replace("safe ty", "")
    assert [word for word in NEVER if re.search(rf"\b{word}\b", plain)] == []
    if name not in ("gone", "destroyed"):
        assert [word for word in YARD_WORDS if word in plain] == []


STRIPS = {
    "untested": "HOLD: not proven. Do not drain, cut, sell or move off site.",
    "leaking": "HOLD: not proven. Do not drain, cut, sell or move off site.",
    "result": "HOLD: low by what is known of it, and nobody has released it.",
    "unusable": "HOLD: not proven. Do not drain, cut, sell or move off site.",
    "waiting": "HOLD: a release is signed and waits for a second person.",
    "released": "Released: a named person read the results of its oil.",
    "two": "Released: a named person read the results of its oil.",
    "fell": "HOLD: low by what is known of it, and nobody has released it.",
    "route": "PCB route: do not open, cut, sell or move off site except with licensed people and their papers.",
    "held": "HOLD: a named person holds it. Do not drain, cut, sell or move off site.",
    "gone": "GONE: it has left. Nothing on record proves that it was destroyed.",
    "destroyed": "PROVEN DESTROYED: a certificate names this very unit.",
}  # fmt: skip


@pytest.mark.parametrize("name", STAGES)
def test_the_strip_follows_the_stage(name: str) -> None:
    assert STRIPS[name] in told(name)
    assert {other for other in STRIPS.values() if other in told(name)} == {STRIPS[name]}


PROOFS = {
    "untested": ["Nothing about its oil is proven", "No laboratory result is on record."],
    "leaking": ["Nothing about its oil is proven", "It leaks", "For the leak:"],
    "result": ["Lab says: not over the line", "Oil Works Laboratory: 12.5 mg/kg ± 20 % in the tank, drawn 7 Oct 2026"],
    "unusable": ["Nothing about its oil is proven", "12.5 mg/L ± 20 % in the tank", "It shows nothing"],
    "waiting": ["signed by one person", "It waits for a second person, and until then it decides nothing."],
    "released": ["Released on 23 Oct 2026, signed by one person (Sina Signer)"],
    "two": ["Released on 24 Oct 2026, signed by two people (Sina Signer, Bo Second)"],
    "fell": ["Released on 23 Oct 2026, signed by one person", "that release no longer stands"],
    "route": ["Sent down the PCB route on 23 Oct 2026", "620 mg/kg ± 20 %"],
    "held": ["Put on hold on 23 Oct 2026, signed by one person (Sina Signer)"],
    "gone": ["It left on 2 Nov 2026, Carry Ltd (load 41).", "ask for the certificate"],
    "destroyed": ["It was destroyed on 17 Nov 2026, Burn & Sons (load 41, certificate C-7781)."],
}  # fmt: skip
"""Days are those of the instants of the stages in Auckland, 13 hours before UTC in summer."""


@pytest.mark.parametrize("name", STAGES)
def test_it_names_what_is_proven_and_by_what(name: str) -> None:
    words = told(name)
    for proof in PROOFS[name]:
        assert proof in words, proof
    if name not in ("untested", "leaking"):
        assert "report of 20 Oct 2026, their number J-1177; bottle B3T TLE." in words.replace("J- ", "J-")
    proven = name not in ("untested", "leaking", "unusable")
    assert ("A result speaks for the oil that was sampled" in words) == proven
    assert ("not known. Care of hands" in words) == (not proven)


@pytest.mark.parametrize("name", [name for name in STAGES if name not in ("gone", "destroyed")])
def test_what_is_still_there_is_told_what_to_do_and_what_is_gone_is_not(name: str) -> None:
    words = told(name)
    assert "Treat it as live" in words or "treat it as live" in words
    assert "May it be moved?" in words
    assert "Before anything is done to it, call" in words
    for out in ("gone", "destroyed"):
        other = told(out)
        assert "reat it as live" not in other
        assert "May it be moved?" not in other
        assert "For questions about this letter, call" in other


MAY_MOVE = "It may move with the owner's consent"


@pytest.mark.parametrize("country", YARDS)
@pytest.mark.parametrize("name", [name for name in STAGES if name not in ("gone", "destroyed")])
def test_only_what_is_released_may_move(name: str, country: str) -> None:
    """By letter and site sheet; a quarter of the line, with certainty, is low by any reading."""
    lower = {**LOW, "value": "1.1", "reporting_limit": "0.5", "uncertainty": {"value": "0.2", "kind": "absolute"}}
    now = stage(name, country)
    if name not in ("untested", "leaking", "unusable", "route"):
        judged = unit({**now.line, "tests": [lower]}, country)
        now = replace(now, answer=judged.answer, results=(result(lower),))
        again = [
            replace(one, klass=now.answer["class"], care="ge500" if name == "fell" else now.answer["care"])
            for one in now.verdicts
        ]
        now = replace(now, verdicts=tuple(again))
    released = name in ("released", "two")
    assert (now.stands == "released") == released
    sheet = papers.payload("site_sheet", now, YARDS[country], ASIDE, "17", AT, "Ana Example").payload
    for told_take in (made(now, country).payload["do"]["take"], sheet["take"]):
        assert any(MAY_MOVE in one for one in told_take) == released
        if name in ("result", "waiting", "fell", "held"):
            assert any("signed a release it does not move" in one for one in told_take)


def test_gear_of_a_low_figure_is_worn_once_somebody_signed() -> None:
    """Until then it is that of what is presumed."""
    lower = {**LOW, "value": "1.1", "reporting_limit": "0.5", "uncertainty": {"value": "0.2", "kind": "absolute"}}
    base = stage("untested")
    low = replace(unit({**base.line, "tests": [lower]}), line=base.line, results=(result(lower),))
    low = replace(low, presumed=(base.answer["class"], base.answer["care"]))
    assert (base.answer["care"], low.oil.care, low.answer["care"]) == ("50_499", "50_499", "lt2")
    presumed = story(base, YARDS["nz"]).wear
    signed = story(replace(low, verdicts=(verdict(low, "release"),)), YARDS["nz"]).wear
    now = story(low, YARDS["nz"]).wear
    assert now == presumed != signed
    assert made(low).payload["do"]["wear"] == made(base).payload["do"]["wear"]


def test_drained_oil_is_not_proven_destroyed_with_the_unit() -> None:
    says = "Oil that was drained from it before it left is not proven destroyed"
    now = stage("destroyed")
    assert says in told("destroyed")
    burned = FateNow(what="oil_destroyed", at="2026-11-20T01:00:00.000000Z", drum="D7M4PK", certificate="C-1", load="4")
    assert says not in words_of(replace(now, fates=(*now.fates, burned)))
    assert says not in told("gone")


def test_nobody_is_told_to_release_what_was_released() -> None:
    lower = {**LOW, "value": "1.1", "reporting_limit": "0.5", "uncertainty": {"value": "0.2", "kind": "absolute"}}
    base = stage("result")
    low = replace(unit({**base.line, "tests": [lower]}), line=base.line, results=(result(lower),))
    check = "Let a second person read the report"
    assert check in words_of(low)
    assert check not in words_of(replace(low, verdicts=(verdict(low, "release"),)))


def test_without_an_owner_it_is_addressed_to_whoever_owns_the_unit() -> None:
    assert "To whoever owns unit K7M 4PK" in words_of(stage("untested"), aside={})
    named = words_of(stage("untested"))
    assert "To whoever owns" not in named
    assert "Mere Example behind the shed" in re.sub(r"\s+", " ", named)


def test_no_letter_is_addressed_to_a_gate() -> None:
    """What was brought to us stands at our gate: a place of ours, and no address of its owner."""
    beside = {**ASIDE, "where": "at the gate, left of the office"}
    found, brought = stage("untested"), replace(stage("untested"), arrival="gate")
    assert made(found, aside=beside).aside["where"] == "at the gate, left of the office"
    assert "where" not in made(brought, aside=beside).aside
    words = words_of(brought, aside=beside)
    assert "left of the office" not in words
    assert "Mere Example" in words
    assert "It was brought to us" in words
    words = words_of(brought, aside={"where": "at the gate, left of the office"})
    assert "To whoever owns unit K7M 4PK" in words
    assert papers.payload("site_sheet", brought, YARDS["nz"], beside, "17", AT, "Ana Example").aside["where"]


def test_an_owner_is_told_what_a_holder_owes_whatever_the_yard_is() -> None:
    """40 CFR 761.65(a)(1): a year from the day decided; a carrier owes it not, the holder does, by 15 Jan 2027."""
    base = {**stage("result", "us").line, "role": "carrier", "decided_waste": "2026-01-15"}
    now = unit(base, "us")
    assert "dispose_within" not in {duty["name"] for duty in now.answer["duties"]}
    paper = made(now, "us").payload
    assert [duty["due"] for duty in paper["law_asks"]["duties"] if duty["due"]] == ["15 Jan 2027"]
    assert "Keep it where it stands until its class is settled" in paper["do"]["take"][0]


def test_an_answer_of_another_edition_stays_as_it_is() -> None:
    base = {**stage("result", "us").line, "role": "carrier", "decided_waste": "2026-01-15"}
    now = unit(base, "us")
    old = replace(now, answer={**now.answer, "edition": "2020-01-01.0"})
    assert letter.for_owner(old, YARDS["us"]) is old.answer
    assert letter.for_owner(now, YARDS["us"]) is not now.answer


def test_a_part_that_nobody_tested_is_named() -> None:
    spaces = [{"name": "red bushing", "kind": "bushing"}]
    base = {**stage("result").line, "spaces": spaces}
    now = replace(unit({**base, "tests": [LOW]}), line=base, results=(result(LOW),))
    assert made(now).payload["open"]["untested"] == ["red bushing"]
    both = replace(now, results=(result(LOW), result({**LOW, "space": "red bushing"}, id="r2")))
    assert made(both).payload["open"]["untested"] == []


def test_an_amended_result_is_not_told() -> None:
    now = stage("result")
    later = result(HIGH, id="r2", amends="r1", why="dilution", reported_on="2026-10-25")
    now = replace(now, results=(replace(now.results[0], amended_by="r2"), later))
    words = words_of(now)
    assert "620 mg/kg" in words
    assert "it amends an earlier report" in words
    assert "report of 20 Oct 2026" not in words


def test_oil_that_was_destroyed_is_not_the_unit() -> None:
    burned = FateNow(what="oil_destroyed", at="2026-11-20T01:00:00.000000Z", drum="D7M4PK", certificate="C-1", load="4")
    paper = made(replace(stage("route"), fates=(burned,))).payload
    told = "on a day that its certificate does not say (drum D7M 4PK, load 4, certificate C-1)"
    says = f"Oil that was drained from it was destroyed, {told}"
    assert paper["proven"]["fates"] == [says]
    assert paper["stands"] == "pcb_route"


def test_a_figure_is_told_as_reported() -> None:
    below = result(
        {"how": "laboratory", "on": "2026-10-07", "reporting_limit": "2", "unit": "mg/kg"}, bottle="", job=""
    )
    assert letter.result_words(below) == (
        "Oil Works Laboratory: less than 2 mg/kg in the tank, drawn 7 Oct 2026; report of 20 Oct 2026; "
        "no bottle on record."
    )
    bare = result({"how": "laboratory", "space": "can"}, bottle="")
    assert "no figure and no reporting limit in the can, day of the sample not known" in letter.result_words(bare)


def test_names_of_signers_stand_beside_the_words() -> None:
    paper = made(stage("two"))
    assert {"signer", "second", "owner", "where", "by", "phone"} == set(paper.aside)
    assert paper.payload["private"] == sorted(paper.aside)
    words = str(paper.payload)
    assert [name for name in (*CALLED.values(), *CALLED, *ASIDE.values(), "Ana Example") if name in words] == []


def test_a_reason_is_words_and_no_pattern() -> None:
    now = stage("released")
    odd = replace(now.verdicts[0], reason="<b>{class}</b> & {0}")
    assert "<b>{class}</b> & {0}." in words_of(replace(now, verdicts=(odd,)))


def test_where_no_rulebook_is_held_the_letter_says_so() -> None:
    yard = {**YARDS["nz"], "country": "fr"}
    now = stage("untested")
    line = {**now.line, "found_in": "CH"}
    paper = papers.payload("owner_letter", unit(line), yard, {}, "17", AT, "Ana Example").payload
    assert "No rulebook is held here for this place" in paper["law_asks"]["says"]
    assert paper["law"]["rulebook"] == "none held for this place"

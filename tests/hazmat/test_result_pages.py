"""The page of a result: a report in its own words, its file, and an amended one."""

import io
from collections.abc import Callable
from datetime import date
from html import unescape
from typing import Any
from zoneinfo import ZoneInfo

import pikepdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from hazmat.actions.bottles import hand_bottle
from hazmat.actions.units import log_unit, prove_dead
from hazmat.book import files
from hazmat.book.canonical import parsed
from hazmat.models import Bottle, Result, Unit
from hazmat.views.access import act_in
from hazmat.views.waiting import waiting_report
from tests.browsing import at, jpeg, token
from tests.cast import ZONE, Cast, file_of, look_in, order
from tests.hazmat.signing import DEAD

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def drawn_pdf(**saved: Any) -> bytes:
    made, out = pikepdf.new(), io.BytesIO()
    made.add_blank_page()
    made.save(out, **saved)
    return out.getvalue()


def filled_in(client: Client, where: str, **more: Any) -> dict[str, Any]:
    """The form as somebody fills it in."""
    told = {
        "act": token(client.get(where).content.decode()), "bottle": "none", "sampled_on": "2026-01-05", "sign": "=",
        "value": "1,2", "unit": "mg/kg", "limit": "0.5", "uncertainty": "0.2", "uncertainty_kind": "absolute",
        "k": "2", "method": "IEC 61619", "accredited": "yes", "laboratory": "Example Laboratory", "job": "J-1",
        "reported_on": "2026-01-09",
    }  # fmt: skip
    return {**told, **more}


def pdf(data: bytes | None = None, name: str = "report 7.pdf") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, drawn_pdf() if data is None else data, "application/pdf")


def fresh(cast: Cast) -> str:
    """The tag of a unit without a result."""
    assert cast.yard_id is not None
    seen = log_unit(order(cast.yard_id, cast.people["boss"].pk), look=look_in(), place="NZ")
    return str(Unit.objects.get(pk=seen.the("hazmat.unit")).tag)


def test_a_report_is_entered_in_its_own_words(cast: Cast) -> None:
    client, tag = cast.client("technician"), fresh(cast)
    where = at(cast, "enter_result", tag=tag)
    data = drawn_pdf()
    told = filled_in(client, where)
    sent = client.post(where, {**told, "report": pdf(data)})
    assert sent.status_code == 302, unescape(sent.content.decode())
    assert client.post(where, told).status_code == 302, "the same form twice"
    found = Result.objects.get(unit__tag=tag)
    assert parsed(found.test) == {
        "how": "laboratory", "on": "2026-01-05", "space": "tank", "sign": "=", "value": "1.2", "unit": "mg/kg",
        "reporting_limit": "0.5", "uncertainty": {"value": "0.2", "kind": "absolute", "k": "2"},
        "method": "IEC 61619", "accredited": True,
    }  # fmt: skip
    assert (found.laboratory, found.job, found.reported_on) == ("Example Laboratory", "J-1", date(2026, 1, 9))
    page = unescape(client.get(at(cast, "unit", tag=tag)).content.decode())
    assert "Lab says laboratory, 5 Jan 2026, tank: 1.2 mg/kg" in " ".join(page.replace("</b>", "").split())
    assert "± 0.2 mg/kg (k = 2), reporting limit 0.5 mg/kg, by IEC 61619, accredited" in page
    assert "A result was entered: laboratory, 5 Jan 2026, tank: 1.2 mg/kg (Example Laboratory" in page
    kept = client.get(at(cast, "report", result=found.pk))
    assert file_of(kept) == data
    assert kept["Content-Type"] == "application/pdf"
    assert kept["X-Content-Type-Options"] == "nosniff"
    assert kept["Content-Disposition"].startswith("attachment;")
    assert at(cast, "report", result=found.pk) in page
    seen = cast.client("visitor").get(at(cast, "unit", tag=tag)).content.decode()
    assert at(cast, "report", result=found.pk) not in seen
    assert "Its report is kept in the book." in seen


def test_not_detected_is_a_result_with_its_limit(cast: Cast) -> None:
    client, tag = cast.client("technician"), fresh(cast)
    where = at(cast, "enter_result", tag=tag)
    told = filled_in(client, where, sign="nd", value="", uncertainty="", k="", limit="2")
    assert client.post(where, told).status_code == 302
    test = parsed(Result.objects.get(unit__tag=tag).test)
    assert "value" not in test
    assert "sign" not in test
    assert test["reporting_limit"] == "2"
    assert "not detected, reporting limit 2 mg/kg" in client.get(at(cast, "unit", tag=tag)).content.decode()


@pytest.mark.parametrize("raw", ["12", "0,12", "1,26"])
def test_a_raw_figure_is_kept_and_shown_beside_the_reported_one(cast: Cast, raw: str) -> None:
    client, tag = cast.client("technician"), fresh(cast)
    where = at(cast, "enter_result", tag=tag)
    assert client.post(where, filled_in(client, where, raw=raw)).status_code == 302
    found = Result.objects.get(unit__tag=tag)
    kept = raw.replace(",", ".")
    assert (parsed(found.test)["value"], parsed(found.test)["raw"]) == ("1.2", kept)
    page = unescape(client.get(at(cast, "unit", tag=tag)).content.decode())
    assert f"tank: 1.2 mg/kg (raw {kept} mg/kg, ± 0.2 mg/kg (k = 2)" in page
    amend = at(cast, "amend_result", tag=tag, result=found.pk)
    assert f'name="raw" value="{kept}"' in client.get(amend).content.decode()
    sent = client.post(amend, filled_in(client, amend, raw="", why="the raw figure was of another sample"))
    assert sent.status_code == 302
    assert "raw" not in parsed(Result.objects.exclude(pk=found.pk).get(unit__tag=tag).test)
    assert parsed(Result.objects.get(pk=found.pk).test)["raw"] == kept, "what was amended stays as it was"


@pytest.mark.parametrize(
    ("unit", "told"),
    [
        ("mg/L", {"unit": "mg/L"}), ("ppm_weight", {"unit": "ppm", "basis": "weight"}), ("ppm", {"unit": "ppm"}),
        ("ppm_volume", {"unit": "ppm", "basis": "volume"}), ("%", {"unit": "%"}),
    ],
)  # fmt: skip
def test_a_unit_of_measure_is_kept_as_the_report_has_it(cast: Cast, unit: str, told: dict[str, str]) -> None:
    client, tag = cast.client("technician"), fresh(cast)
    where = at(cast, "enter_result", tag=tag)
    more = {"unit": unit, "density": "0.88", "sums": "seven", "sign": "<", "uncertainty_kind": "percent"}
    assert client.post(where, filled_in(client, where, **more)).status_code == 302
    found = Result.objects.get(unit__tag=tag)
    test = parsed(found.test)
    assert {key: test[key] for key in ("unit", "basis") if key in test} == told
    assert (test["density_kg_l"], test["congener_sum"], test["sign"]) == ("0.88", "seven", "<")
    assert test["uncertainty"]["kind"] == "percent"
    amend = client.get(at(cast, "amend_result", tag=tag, result=found.pk)).content.decode()
    assert f'<option value="{unit}" selected>' in amend


WRONG: list[tuple[dict[str, str], str]] = [
    ({"bottle": ""}, "Pick the bottle, or say that the sample came into none of this book."),
    ({"bottle": "222222"}, "This bottle is not of this unit, or was never filled"),
    ({"sampled_on": ""}, "Write the day on which the sample was drawn"),
    ({"sampled_on": "2026-01-10"}, "The report would be older than its sample, which was drawn on 10 Jan 2026"),
    ({"sampled_on": "2999-01-10"}, "This day has not come yet"),
    ({"reported_on": "2999-01-10"}, "This day has not come yet"),
    ({"reported_on": "9 Jan"}, "This is no day of the calendar"),
    ({"reported_on": ""}, "Write the day of the report."),
    ({"value": "1,234"}, "This can be read in two ways"),
    ({"value": "about 1"}, "This is no plain number; write digits alone, such as 12.5; the unit is picked apart."),
    ({"value": ""}, "Write the figure that the report gives."),
    ({"value": "0"}, "No laboratory reports nought"),
    ({"value": "-1"}, "This is no plain number"),
    ({"value": "2000000"}, "no more than 1000000, the whole, may stand there"),
    ({"sign": ""}, "Pick what the report says was found."),
    ({"sign": "~"}, "Pick one of the answers."),
    ({"sign": "nd", "uncertainty": "", "k": ""}, "What was not detected has no figure"),
    ({"sign": "nd", "value": "", "limit": "", "uncertainty": "", "k": ""}, "Write the reporting limit"),
    ({"sign": "nd", "value": ""}, "An uncertainty belongs to a figure; empty this box."),
    ({"uncertainty": ""}, "A coverage factor belongs to an uncertainty"),
    ({"k": "50"}, "a coverage factor from 0.1 to 10 may stand there"),
    ({"density": "880"}, "kilograms a litre between 0.6 and 2.0 may stand there, such as 0.88"),
    ({"raw": "0"}, "No laboratory measures nought; write the raw figure, or empty this box."),
    ({"raw": "-1"}, "This is no plain number"),
    ({"raw": "12.1"}, "This is more than 10 times away from the figure reported; look at both once more."),
    ({"raw": "0.11"}, "This is more than 10 times away from the figure reported"),
    ({"raw": "1,234"}, "This can be read in two ways"),
    ({"unit": "barrels"}, "This is none of the answers"),
    ({"laboratory": " "}, "Write which laboratory it was"),
    ({"laboratory": "x" * 121}, "This is 121 characters long and 120 fit"),
    ({"space": "moon"}, "This is none of the answers"),
]


@pytest.mark.parametrize(("more", "says"), WRONG, ids=lambda one: str(one)[:40])
def test_what_goes_wrong_is_said_and_nothing_is_lost(cast: Cast, more: dict[str, str], says: str) -> None:
    client, before = cast.client("technician"), Result.objects.count()
    where = at(cast, "enter_result", tag=cast.words["tag"])
    told = filled_in(client, where, job="J-77", **more)
    sent = client.post(where, {**told, "report": pdf()})
    page = unescape(sent.content.decode())
    assert sent.status_code == 422
    assert says in page
    assert page.count('class="error"') == 1, "one thing is wrong, and one thing is said"
    assert "J-77" in page
    assert "The report that you chose (report 7.pdf) is kept" in page
    assert Result.objects.count() == before
    mended = client.post(where, {**filled_in(client, where), "act": told["act"]})
    assert mended.status_code == 302
    latest = Result.objects.get(
        job="J-1", report_kind="pdf", laboratory="Example Laboratory", entry__act=act_in(told["act"])
    )
    assert files.path_of(latest.report).is_file()
    assert waiting_report(act_in(told["act"])) is None


KEY = pikepdf.Encryption(owner="o", user="u")
FILES: list[tuple[Callable[[], bytes], str]] = [
    (lambda: b"PK\x03\x04 a letter", "A report is a PDF or a picture of it."),
    (lambda: drawn_pdf(encryption=KEY), "The PDF is locked with a password or a key"),
    (lambda: drawn_pdf()[:300], "The PDF is damaged or cut off"),
    (lambda: drawn_pdf() + b" " * 25_000_001, "The PDF is too large (25 MB; at most 25 MB are kept)"),
]


@pytest.mark.parametrize(("data", "says"), FILES)
def test_a_file_that_is_no_report_is_refused_and_the_words_stay(
    cast: Cast, data: Callable[[], bytes], says: str
) -> None:
    client, before = cast.client("technician"), Result.objects.count()
    where = at(cast, "enter_result", tag=cast.words["tag"])
    told = filled_in(client, where, job="J-77")
    sent = client.post(where, {**told, "report": pdf(data())})
    page = unescape(sent.content.decode())
    assert sent.status_code == 422
    assert says in page
    assert "J-77" in page
    assert (Result.objects.count(), waiting_report(act_in(told["act"]))) == (before, None)


def test_a_picture_of_a_report_is_stripped_and_served_as_one(cast: Cast) -> None:
    client, tag = cast.client("technician"), fresh(cast)
    where = at(cast, "enter_result", tag=tag)
    assert client.post(where, {**filled_in(client, where), "report": jpeg()}).status_code == 302
    found = Result.objects.get(unit__tag=tag)
    assert found.report_kind == "picture"
    kept = client.get(at(cast, "report", result=found.pk))
    assert kept["Content-Type"] == "image/jpeg"
    assert file_of(kept).startswith(b"\xff\xd8\xff")


def test_a_report_sent_by_somebody_who_is_signed_out_waits_too(cast: Cast) -> None:
    client, tag = cast.client("technician"), fresh(cast)
    where = at(cast, "enter_result", tag=tag)
    told = filled_in(client, where)
    client.logout()
    sent = client.post(where, {**told, "report": pdf()})
    page = sent.content.decode()
    assert sent.status_code == 401
    assert "and the report waits beside the book" in page
    assert "not a picture" not in page
    client.force_login(cast.people["technician"])
    assert client.post(where, told).status_code == 302
    assert Result.objects.get(unit__tag=tag).report_kind == "pdf"


def test_a_result_without_a_report_is_taken_and_said_to_have_none(cast: Cast) -> None:
    client, tag = cast.client("technician"), fresh(cast)
    where = at(cast, "enter_result", tag=tag)
    assert client.post(where, filled_in(client, where)).status_code == 302
    found = Result.objects.get(unit__tag=tag)
    assert (found.report, found.report_kind) == ("", "")
    assert client.get(at(cast, "report", result=found.pk)).status_code == 404
    assert "No report is kept." in client.get(at(cast, "unit", tag=tag)).content.decode()


def test_amending_shows_the_old_figures_and_asks_why(cast: Cast) -> None:
    client, old = cast.client("technician"), Result.objects.get(pk=cast.words["result"])
    where = at(cast, "amend_result", tag=cast.words["tag"], result=old.pk)
    page = client.get(where).content.decode()
    for name, value in (("value", "1.2"), ("limit", "0.5"), ("uncertainty", "0.2"), ("job", "J-1"), ("k", "2")):
        assert f'name="{name}" value="{value}"' in page
    assert 'value="2026-01-09"' in page
    told = filled_in(client, where, value="62", why="")
    refused = client.post(where, told)
    assert refused.status_code == 422
    assert "Say why the result is amended" in refused.content.decode()
    assert client.post(where, {**told, "why": "the laboratory mixed two jars up"}).status_code == 302
    assert client.post(where, {**told, "why": "the laboratory mixed two jars up"}).status_code == 302
    fresh_one = Result.objects.get(replaces=old)
    assert fresh_one.report == old.report
    shown = " ".join(unescape(client.get(at(cast, "unit", tag=cast.words["tag"])).content.decode()).split())
    assert "Amended, no longer counts." in shown
    assert "replaced by the report of 9 Jan 2026: the laboratory mixed two jars up" in shown
    assert "A result was amended" in shown
    gone = client.post(where, {**filled_in(client, where), "why": "once more"})
    assert gone.status_code == 422
    assert "amended already" in gone.content.decode()
    assert client.get(at(cast, "amend_result", tag=fresh(cast), result=old.pk)).status_code == 404


def test_only_bottles_that_were_filled_are_offered(cast: Cast) -> None:
    """And one whose trail has a gap is taken only with a tick."""
    client, boss = cast.client("technician"), cast.people["boss"]
    assert cast.yard_id is not None
    tag, code = cast.words["tag"], cast.words["bottle"]
    where = at(cast, "enter_result", tag=tag)
    assert code not in client.get(where).content.decode()
    unit, key = Unit.objects.get(tag=tag).pk, Bottle.objects.get(code=code).pk
    prove_dead(order(cast.yard_id, boss.pk), unit=unit, proved=DEAD)
    names = {"gave": "Mere Example", "took": "Ben"}
    hand_bottle(order(cast.yard_id, boss.pk), bottle=key, what="filled", place="NZ", names=names)
    page = client.get(where).content.decode()
    assert f'value="{code}"' in page
    assert 'name="gap"' not in page
    today = timezone.now().astimezone(ZoneInfo(ZONE)).date().isoformat()
    told = filled_in(client, where, bottle=code, reported_on=today)
    other_day = client.post(where, told)
    assert other_day.status_code == 422
    assert "This bottle was filled on" in other_day.content.decode()
    for what in ("lost", "returned"):
        hand_bottle(order(cast.yard_id, boss.pk), bottle=key, what=what, place="NZ", names=names)  # type: ignore[arg-type]
    told = {**told, "sampled_on": ""}
    refused = client.post(where, told)
    assert refused.status_code == 422
    assert "the trail of this one has a gap" in refused.content.decode()
    assert client.post(where, {**told, "gap": "on"}).status_code == 302
    shown = client.get(at(cast, "unit", tag=tag)).content.decode()
    assert "Its trail has a gap, so a result of it does not stand for this oil for sure" in shown


def test_a_report_of_another_yard_is_not_there(cast: Cast) -> None:
    path = at(cast, "report", result=cast.words["result"])
    assert cast.client("outsider").get(path).status_code == 404
    assert cast.client("visitor").get(path).status_code == 403


BEFORE = "Typed with the look, and standing without a laboratory's report: "


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"history": [{"what": "refilled"}, {"what": "topped_up", "on": "~1985"}]}, ""),
        ({"tests": [{"how": "screen", "on": "2026-01-05", "set_point": 50, "colour": "yellow"}]}, ""),
        (
            {"history": [{"what": "retrofilled", "on": "2001-03", "fluid_mg_kg": "2.5"}]},
            "retrofilled Mar 2001, with oil of 2.5 mg/kg.",
        ),
        (
            {"tests": [{"how": "laboratory", "on": "2011-05-20", "value": 31, "unit": "ppm"}]},
            "laboratory, 20 May 2011, tank: 31 ppm.",
        ),
    ],
)
def test_figures_typed_with_the_look_are_said_to_stand_without_a_report(
    more: dict[str, Any], says: str, cast: Cast
) -> None:
    assert cast.yard_id is not None
    look = look_in(line={"kind": "transformer", "fluid": "mineral", **more})
    seen = log_unit(order(cast.yard_id, cast.people["boss"].pk), look=look, place="NZ")
    tag = str(Unit.objects.get(pk=seen.the("hazmat.unit")).tag)
    page = unescape(cast.client("visitor").get(at(cast, "unit", tag=tag)).content.decode())
    assert (BEFORE in page) == bool(says)
    assert not says or f"{BEFORE}{says}" in page

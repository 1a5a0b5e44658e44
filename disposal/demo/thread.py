"""The thread of the demo, read from the fixtures: each step becomes one real act, or a few that belong together."""

import tomllib
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from disposal.actions.bays import add_bay, put_in_bay
from disposal.actions.certificates import close_load, enter_certificate
from disposal.actions.drums import label_drum, pour
from disposal.actions.handing import receive_load, settle_arrival, sign_load
from disposal.actions.loads import plan_load, put_on_load
from disposal.actions.papers import issue_drum_label, issue_load_sheet
from disposal.actions.partners import add_licence, add_partner
from disposal.core.loadin import Arrived, Line, PutOn, Settling
from disposal.models import Drum, Item
from hazmat.actions.breakdowns import record_breakdown
from hazmat.actions.clues import record_clues
from hazmat.actions.conditions import record_condition
from hazmat.actions.papers import issue_paper
from hazmat.actions.results import enter_result
from hazmat.actions.screens import read_screen, record_screen
from hazmat.actions.sidehazards import walk_hazards
from hazmat.actions.spaces import remove_part
from hazmat.actions.tools import add_tool, clean_tool, retire_tool
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.core.clues import CluesIn
from hazmat.core.condition import ConditionIn
from hazmat.core.facts import TANK
from hazmat.core.reported import Reported
from hazmat.core.screened import ScreenIn
from hazmat.core.shots import ShotsIn
from hazmat.core.tools import ToolIn
from hazmat.core.walked import Walk
from hazmat.demo.made import Made, Step, kept_report, sampled
from hazmat.demo.scene import LABORATORY
from hazmat.demo.sheets import page, scrawl
from hazmat.demo.units import FIXTURES

Told = Mapping[str, Any]


def steps() -> list[Step]:
    """Every step in the order of the file. Raises KeyError for a step that nobody knows."""
    told = tomllib.loads((FIXTURES / "thread.toml").read_text(encoding="utf-8"))["step"]
    return [_step(place, one) for place, one in enumerate(told)]


def _step(place: int, told: Told) -> Step:
    do = DOES[told["do"]]
    name = told.get("as", str(place))
    return Step(
        at=datetime.fromisoformat(told["at"]), yard=told["yard"], role=told["by"],
        words=(told["do"], name), run=lambda made: do(made, told),
    )  # fmt: skip


def _sample(made: Made, told: Told) -> None:
    gear = [made.known[one] for one in told.get("gear", ())]
    bottle = sampled(made, made.unit(told["unit"]), told.get("space", TANK), told.get("lost", ""), gear)
    made.keep(told["as"], bottle)


def _add_tool(made: Made, told: Told) -> None:
    made.keep(told["as"], add_tool(made.order, told=ToolIn(**told["tool"])).the("hazmat.tool"))


def _clean_tool(made: Made, told: Told) -> None:
    clean_tool(made.order, tool=made.known[told["tool"]], with_what=told["with_what"], how=told["how"])


def _retire_tool(made: Made, told: Told) -> None:
    retire_tool(made.order, tool=made.known[told["tool"]], reason=told["reason"])


def _enter_result(made: Made, told: Told) -> None:
    unit, bottle = made.unit(told["unit"]), made.bottle(told["bottle"])
    said = Reported(
        test={"how": "laboratory", **told["test"]}, reported_on=date.fromisoformat(told["reported_on"]),
        laboratory=LABORATORY, job=told["job"], bottle=bottle,
        report=kept_report(page(LABORATORY, _lines(told, bottle), told["as"])),
    )  # fmt: skip
    amends = made.known.get(told.get("amends", ""))
    seen = enter_result(made.order, unit=unit, told=said, place=made.place, replaces=amends, why=told.get("why", ""))
    made.keep(told["as"], seen.the("hazmat.result"))


def _lines(told: Told, bottle: str) -> list[str]:
    """What the page of a report says."""
    test = told["test"]
    figure = f"{test['value']} {test['unit']}" if "value" in test else f"not detected, limit {test['reporting_limit']}"
    return [f"Job {told['job']}, {told['reported_on']}", f"Bottle {bottle}, oil", f"PCB: {figure}", test["method"]]


def _record_screen(made: Made, told: Told) -> None:
    bottle = made.bottle(told["bottle"]) if "bottle" in told else ""
    asked = {**told["screen"], "colours": tuple(told["screen"].get("colours", ()))}
    seen = ScreenIn(space=TANK, bottle=bottle, **asked)
    kept = record_screen(made.order, unit=made.unit(told["unit"]), told=seen, place=made.place)
    if "as" in told:
        made.keep(told["as"], kept.the("hazmat.screen"))


def _read_screen(made: Made, told: Told) -> None:
    read_screen(made.order, screen=made.known[told["screen"]], colour=told["colour"], place=made.place)


def _record_clues(made: Made, told: Told) -> None:
    record_clues(made.order, unit=made.unit(told["unit"]), told=CluesIn(asked=told["asked"], sources=told["sources"]))


def _walk_hazards(made: Made, told: Told) -> None:
    walk = Walk(seen=told["seen"], lead=told.get("lead", ""), note=told.get("note", ""))
    walk_hazards(made.order, unit=made.unit(told["unit"]), walk=walk)


def _remove_part(made: Made, told: Told) -> None:
    remove_part(
        made.order, unit=made.unit(told["unit"]), space=told["space"], place=made.place, tag=made.tag(told["tag"])
    )


def _record_breakdown(made: Made, told: Told) -> None:
    cell = made.known[told["cell"]] if "cell" in told else None
    record_breakdown(made.order, unit=made.unit(told["unit"]), told=ShotsIn(space=TANK, **told["test"]), cell=cell)


def _record_condition(made: Made, told: Told) -> None:
    bottle = made.bottle(told["bottle"]) if "bottle" in told else ""
    slip = ConditionIn(space=TANK, tester=LABORATORY, bottle=bottle, **told["test"])
    record_condition(made.order, unit=made.unit(told["unit"]), told=slip, note=told["note"])


def _sign_verdict(made: Made, told: Told) -> None:
    now = made.standing(made.unit(told["unit"]))
    sign_verdict(
        made.order, unit=UUID(now.unit), decision=told["decision"], reason=told["reason"],
        evidence=[str(made.known[one]) for one in told["evidence"]], read=reading(now),
    )  # fmt: skip


def _owner_letter(made: Made, told: Told) -> None:
    made.printed(issue_paper(made.order, unit=made.unit(told["unit"]), kind="owner_letter").the("hazmat.paper"))


def _issue_drum_label(made: Made, told: Told) -> None:
    made.printed(issue_drum_label(made.order, drum=made.known[told["drum"]]).the("hazmat.paper"))


def _issue_load_sheet(made: Made, told: Told) -> None:
    made.printed(issue_load_sheet(made.order, load=made.known[told["load"]]).the("hazmat.paper"))


def _label_drum(made: Made, told: Told) -> None:
    of = made.unit(told["for_unit"]) if "for_unit" in told else None
    seen = label_drum(
        made.order, kind=told["kind"], capacity_l=told["capacity_l"], un_mark=told.get("un_mark", ""), for_unit=of
    )
    made.keep(told["as"], seen.the("disposal.drum"))


def _pour(made: Made, told: Told) -> None:
    out: Told = {"unit": made.unit(told["unit"]), "space": TANK} if "unit" in told else {}
    if "drum" in told:
        out = {"from_drum": made.known[told["drum"]]}
    pour(
        made.order, into=made.known[told["into"]], place=made.place, **out,
        litres=told["litres"], tool=told["tool"], all_out=told.get("all_out", False),
        celsius=told.get("celsius", ""),
    )  # fmt: skip


def _add_bay(made: Made, told: Told) -> None:
    made.keep(told["as"], add_bay(made.order, name=told["name"]).the("disposal.bay"))


def _put_in_bay(made: Made, told: Told) -> None:
    put_in_bay(made.order, bay=made.known[told["bay"]], drum=made.known[told["drum"]])


def _add_partner(made: Made, told: Told) -> None:
    aside = {"phone": told["phone"], "address": told["address"]}
    seen = add_partner(made.order, name=told["name"], country=told["country"], aside=aside)
    made.keep(told["as"], seen.the("disposal.partner"))


def _add_licence(made: Made, told: Told) -> None:
    until = date.fromisoformat(told["until"]) if "until" in told else None
    add_licence(
        made.order, partner=made.known[told["partner"]], what=told["what"], number=told["number"],
        since=date.fromisoformat(told["since"]), until=until, issued_by=told["issued_by"],
    )  # fmt: skip


def _plan_load(made: Made, told: Told) -> None:
    load = plan_load(
        made.order, carrier=made.known[told["carrier"]], facility=made.known[told["facility"]],
        official=told.get("official", ""),
    ).the("disposal.load")  # fmt: skip
    made.keep(told["as"], load)
    items = [
        PutOn(thing=thing, of=made.known[one["drum"]] if thing == "drum" else made.unit(one["unit"]), kg=one["kg"])
        for one in told["items"]
        for thing in ("drum", "unit")
        if thing in one
    ]
    put_on_load(made.more("items"), load=load, items=items)


def _sign_load(made: Made, told: Told) -> None:
    inked = told["inked"]
    sign_load(
        made.order, load=made.known[told["load"]], party=told["party"], inked=inked, name=told["name"],
        file="" if inked == "typed" else made.picture(scrawl(told["name"], inked)),
    )  # fmt: skip


def _receive_load(made: Made, told: Told) -> None:
    lines = [
        Arrived(
            item=_item(made, told["load"], one["item"]), arrival=one["arrival"], kg=one.get("kg", ""),
            note=one.get("note", ""),
        )
        for one in told["lines"]
    ]  # fmt: skip
    receive_load(made.order, load=made.known[told["load"]], lines=lines)


def _settle_arrival(made: Made, told: Told) -> None:
    lines = [Settling(item=_item(made, told["load"], one["item"]), says=one["says"]) for one in told["lines"]]
    settle_arrival(made.order, load=made.known[told["load"]], lines=lines)


def _enter_certificate(made: Made, told: Told) -> None:
    codes = [_code(made, one) for one in told["items"]]
    lines = [f"No. {told['number']}, {told['issued_on']}", f"Destroyed on {told['done_on']}:", ", ".join(codes)]
    file = made.picture(page("Certificate of disposal", lines, told["number"]))
    enter_certificate(
        made.order, load=made.known[told["load"]], number=told["number"],
        issued_on=date.fromisoformat(told["issued_on"]), done_on=date.fromisoformat(told["done_on"]),
        file=file, file_kind="picture",
        lines=[Line(written=code) for code in codes],
    )  # fmt: skip


def _close_load(made: Made, told: Told) -> None:
    close_load(made.order, load=made.known[told["load"]])


def _code(made: Made, name: str) -> str:
    """The code of a drum, or the tag of a unit."""
    return Drum.objects.get(pk=made.known[name]).code if name in made.known else made.tag(name)


def _item(made: Made, load: str, name: str) -> UUID:
    """The item of a load that is this drum or unit."""
    of = {"drum": made.known[name]} if name in made.known else {"unit": made.unit(name)}
    return Item.objects.get(load=made.known[load], replaces=None, **of).pk


DOES = {
    "add_tool": _add_tool, "clean_tool": _clean_tool, "retire_tool": _retire_tool, "sample": _sample,
    "enter_result": _enter_result, "record_screen": _record_screen, "read_screen": _read_screen,
    "record_clues": _record_clues, "walk_hazards": _walk_hazards, "remove_part": _remove_part,
    "record_breakdown": _record_breakdown,
    "record_condition": _record_condition, "sign_verdict": _sign_verdict, "owner_letter": _owner_letter,
    "label_drum": _label_drum, "pour": _pour, "add_bay": _add_bay, "put_in_bay": _put_in_bay,
    "add_partner": _add_partner, "add_licence": _add_licence, "plan_load": _plan_load, "sign_load": _sign_load,
    "issue_drum_label": _issue_drum_label, "issue_load_sheet": _issue_load_sheet,
    "receive_load": _receive_load, "settle_arrival": _settle_arrival,
    "enter_certificate": _enter_certificate, "close_load": _close_load,
}  # fmt: skip
"""What each word of a step does."""

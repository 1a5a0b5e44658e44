"""Answers of *Look* to one line of a register and back: what the form shows, and what it keeps without showing it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any, get_args

from hazmat.core.facts import Change, Unit
from hazmat.forms.fields import shown_number, span_parts, span_text

PICTURES = {"pole_unit": ("transformer", "pole"), "pad_unit": ("transformer", "pad")}
"""Pictures that say two things at once: kind and mounting."""
LEAKS = ("sweating", "dripping", "pool")
"""A unit that sweats is treated as leaking: err toward care."""
PLAIN = ("construction", "fluid", "role", "service_records", "site")
NUMBERS = ("fluid_mass_kg", "fluid_volume_l", "density_kg_l", "gross_mass_kg", "voltage_v", "body_cm3")
FINE = ("density_kg_l",)
DAYS = ("decided_waste", "arrived", "in_use_before", "use_extended_until")
SPANS = {"built": "built", "last_energised": "last"}
CHANGES: tuple[Change, ...] = get_args(Change)
SPACES = 4
"""Oil spaces that the form shows. Source: our own choice; further ones are kept as they are."""
ORDER = tuple(one.name for one in fields(Unit) if one.name != "id")
SOURCED = (
    "kind", "mounting", "construction", "fluid", *NUMBERS, "built", "last_energised", *DAYS, "made_in", "marks",
    "plate_words", "history", "service_records", "state", "spaces",
)  # fmt: skip
"""Facts of which the form asks who says so."""
TRUTH = {"yes": True, "no": False}
WORD = {True: "yes", False: "no"}


@dataclass(frozen=True)
class Built:
    """A line, and in which box each of its parts was typed (by path)."""

    line: dict[str, Any]
    boxes: dict[str, str]


def built(found: Mapping[str, Any], kept: Mapping[str, Any], place: str) -> Built:
    """The line of these answers. `kept`: what the form does not show; `place`: where it stands if nobody said.

    A leak wins over every other state. Where the state was *drained*, that stays as an event of the history.
    """
    line: dict[str, Any] = {key: kept[key] for key in kept if key not in ("history", "spaces")}
    line["kind"], mounting = PICTURES.get(found["kind"], (found["kind"], ""))
    line["mounting"] = known(found["mounting"]) or mounting
    line |= {key: known(found[key]) for key in PLAIN} | {key: found[key] for key in (*NUMBERS, *DAYS)}
    line |= {key: found[key] for key in ("made_in", "marks", "plate_words")}
    for key, box in SPANS.items():
        line[key] = span_text(found[f"{box}_how"], found[f"{box}_1"], found[f"{box}_2"])
    line["found_in"] = "-".join(part for part in (found["country"], found["part"]) if part) or place
    line["count"] = found["count"] if found["count"] > 1 else None
    leaking, drained = found["leak"] in LEAKS, found["state"] == "drained"
    line["state"] = "leaking" if leaking else known(found["state"])
    boxes = {key: key for key in ORDER} | {key: f"{box}_1" for key, box in SPANS.items()} | {"found_in": "country"}
    events = dict(_events(found))
    if leaking and drained:
        events.setdefault("drained", {"what": "drained"})
    spaces = dict(_spaces(found))
    line["history"] = [*(events[what] for what in CHANGES if what in events), *kept.get("history", ())]
    line["spaces"] = [*spaces.values(), *kept.get("spaces", ())]
    shown = [what for what in CHANGES if what in events]
    boxes |= {f"history[{at}]": f"{what}_on" for at, what in enumerate(shown)}
    boxes |= {f"spaces[{at}]": f"space_{row}" for at, row in enumerate(spaces)}
    return Built({key: line[key] for key in ORDER if line.get(key) not in (None, "", [])}, boxes)


def known(word: str) -> str:
    """A picked word, empty for the don't-know."""
    return "" if word == "unknown" else word


def _events(found: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """What was done to the fluid. A year or a figure alone says that it was done, too."""
    for what in CHANGES:
        told = {"on": found[f"{what}_on"], "fluid_mg_kg": found.get(f"{what}_mg", "")}
        if found[what] or any(told.values()):
            yield what, {"what": what, **{key: value for key, value in told.items() if value}}


def _spaces(found: Mapping[str, Any]) -> Iterator[tuple[int, dict[str, Any]]]:
    for row in range(1, SPACES + 1):
        told = {
            "name": found[f"space_{row}"], "kind": known(found[f"space_{row}_kind"]),
            "built": found[f"space_{row}_built"], "sealed": TRUTH.get(found[f"space_{row}_sealed"]),
        }  # fmt: skip
        if told["name"]:
            yield row, {key: value for key, value in told.items() if value not in (None, "")}


def initial(line: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """What the boxes show of a line, and what of it they cannot show."""
    line = {key: value for key, value in line.items() if value is not None}
    shown: dict[str, Any] = {"kind": line["kind"], "count": str(line.get("count", 1))}
    pair = (line["kind"], line.get("mounting", ""))
    shown["kind"] = next((name for name, both in PICTURES.items() if both == pair), line["kind"])
    shown |= {key: line.get(key, "unknown") for key in (*PLAIN, "mounting", "state")}
    shown |= {key: shown_number(str(line.get(key, "")), key in FINE) for key in NUMBERS}
    shown |= {key: line.get(key, "") for key in (*DAYS, "made_in")}
    shown |= {key: line.get(key, []) for key in ("marks", "plate_words")}
    for key, box in SPANS.items():
        parts = span_parts(str(line.get(key, "")))
        shown |= dict(zip((f"{box}_how", f"{box}_1", f"{box}_2"), parts, strict=True))
    shown["country"], _, shown["part"] = line.get("found_in", "").partition("-")
    more, history = _shown_events(line.get("history", ()))
    rows, spaces = _shown_spaces(line.get("spaces", ()))
    kept = {key: line[key] for key in line if key == "tests"}
    kept |= {key: value for key, value in (("history", history), ("spaces", spaces)) if value}
    return shown | more | rows, kept


def _shown_events(history: Any) -> tuple[dict[str, Any], list[Any]]:
    """The first event of each sort in its boxes, and the others."""
    shown: dict[str, Any] = {}
    kept = []
    for event in history:
        what, figure = event["what"], event.get("fluid_mg_kg")
        if what in shown or (what == "drained" and figure is not None):
            kept.append(event)
            continue
        shown |= {what: True, f"{what}_on": str(event.get("on") or "")}
        if what != "drained":
            shown[f"{what}_mg"] = shown_number(str("" if figure is None else figure), False)
    return shown, kept


def _shown_spaces(spaces: Any) -> tuple[dict[str, Any], list[Any]]:
    shown: dict[str, Any] = {}
    for row, space in enumerate(spaces[:SPACES], 1):
        shown |= {
            f"space_{row}": space["name"], f"space_{row}_kind": space.get("kind") or "unknown",
            f"space_{row}_built": str(space.get("built") or ""),
            f"space_{row}_sealed": WORD.get(space.get("sealed"), "unknown"),
        }  # fmt: skip
    return shown, list(spaces[SPACES:])

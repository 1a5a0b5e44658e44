"""An oil space taken off a unit: the line of what it is from then on, and the line of what stays.

What may speak against the part goes with it; what speaks for another oil does not. So hands never take a part with less
care than they took it on its unit.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from hazmat.core.facts import TANK

Line = Mapping[str, Any]
KEPT = (
    "built", "made_in", "found_in", "role", "site", "last_energised", "decided_waste", "arrived", "in_use_before",
    "use_extended_until", "marks", "plate_words", "history", "service_records",
)  # fmt: skip
"""Facts of a unit that its part keeps, whatever kind it is: days, places, plate and past."""
OF_ITS_FLUID = ("mounting", "construction", "fluid", "voltage_v")
"""Facts that a part keeps where it is of the kind of its unit, as a conservator is; askarel is kept in any case."""


def space_of(line: Line, name: str) -> Line:
    """What is said of an oil space; nothing where it is only named by a test or a bottle."""
    return next((one for one in line.get("spaces") or () if one["name"] == name), {"name": name})


def part_line(line: Line, name: str, tests: Sequence[Line]) -> dict[str, Any]:
    """The line of a part from now on. `tests`: all that was tried on its unit; those of this space go with it."""
    space = space_of(line, name)
    kind = space.get("kind") or line["kind"]
    kept = (*KEPT, *OF_ITS_FLUID) if kind == line["kind"] else KEPT
    part: dict[str, Any] = {"kind": kind, **{key: line[key] for key in kept if line.get(key) not in (None, "", [])}}
    if space.get("built"):
        part["built"] = space["built"]
    if line.get("fluid") == "askarel":
        part["fluid"] = "askarel"
    if space.get("sealed"):
        part["spaces"] = [{"name": TANK, "sealed": True}]
    mine = [{**test, "space": TANK} for test in tests if test.get("space", TANK) == name]
    return {**part, "state": "removed", **({"tests": mine} if mine else {})}


def rest_line(line: Line, name: str) -> dict[str, Any]:
    """The line of what stays: without the space, and without what was typed of its oil."""
    spaces = [one for one in line.get("spaces") or () if one["name"] != name]
    tests = [test for test in line.get("tests") or () if test.get("space", TANK) != name]
    found = {key: value for key, value in line.items() if key not in ("spaces", "tests")}
    return found | ({"spaces": spaces} if spaces else {}) | ({"tests": tests} if tests else {})


def part_sources(line: Line, part: Line, sources: Mapping[str, str]) -> dict[str, str]:
    """Who says so, of each fact of a part that it keeps from its unit as it stood there."""
    return {key: says for key, says in sources.items() if key in part and part[key] == line.get(key)}

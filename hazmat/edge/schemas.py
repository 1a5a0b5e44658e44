"""JSON Schemas of a line that comes in and of a line that goes out, made from the shapes themselves."""

import json
from functools import cache
from typing import Any, Literal, get_args, get_origin, get_type_hints

import msgspec

from hazmat.core.assess import Assessment
from hazmat.core.bulk import CARE
from hazmat.core.facts import Unit
from hazmat.core.measures import Count, Day, LastDay, Measure, Place, Tag
from hazmat.core.spans import Span
from hazmat.edge.places import COUNTRIES
from hazmat.edge.shapes import PLAIN_NUMBER, SHAPES, bare

DIALECT = "https://json-schema.org/draft/2020-12/schema"
WHOLE_NUMBER = {"type": "string", "pattern": f"^{PLAIN_NUMBER.pattern}$"}
WRITTEN = "[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?"
SPAN = f"^(~?{WRITTEN}|{WRITTEN}/({WRITTEN})?|/{WRITTEN})$"

KINDS: dict[type, dict[str, Any]] = {
    Measure: {"anyOf": [{"type": "number", "minimum": 0}, WHOLE_NUMBER]},
    Span: {"anyOf": [{"type": "integer", "minimum": 1000, "maximum": 9999}, {"type": "string", "pattern": SPAN}]},
    Day: {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    LastDay: {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    Place: {"type": "string", "pattern": f"^({'|'.join(sorted(COUNTRIES))})(-[A-Z0-9]{{1,3}})?$"},
    Count: {"type": "integer", "minimum": 1},
    Tag: {"type": "string", "pattern": r"\S"},
    str: {"type": "string", "pattern": r"\S"},
    bool: {"type": "boolean"},
}


@cache
def text(side: str) -> str:
    """The schema of one side (`in` or `out`) as JSON text."""
    return json.dumps(line_in() if side == "in" else line_out(), indent=1, ensure_ascii=False) + "\n"


def line_in() -> dict[str, Any]:
    """One unit of a register. Any key but id and kind may be null, which means *not known*."""
    return {
        "$schema": DIALECT,
        "title": "One unit of a register",
        **_of(Unit),
        "$defs": {s.__name__: _shape(s) for s in SHAPES},
    }


def _shape(shape: Any) -> dict[str, Any]:
    """The schema of an object: its keys and no other."""
    kinds = {name: bare(kind) for name, kind in get_type_hints(shape).items()}
    required = [name for name in kinds if not hasattr(shape, name)]
    keys = {name: _of(kind) if name in required else _or_null(_of(kind)) for name, kind in kinds.items()}
    return {"type": "object", "properties": keys, "required": required, "additionalProperties": False}


def _of(kind: Any) -> dict[str, Any]:
    """The schema of a value."""
    if get_origin(kind) is Literal:
        return {"enum": list(get_args(kind))}
    if get_origin(kind) is tuple:
        return {"type": "array", "items": _of(bare(get_args(kind)[0]))}
    if get_origin(kind) is dict:
        return {"type": "object", "additionalProperties": _of(get_args(kind)[1])}
    return KINDS.get(kind, {"$ref": f"#/$defs/{kind.__name__}"})


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [schema, {"type": "null"}]}


def line_out() -> dict[str, Any]:
    """One answer."""
    shape = msgspec.defstruct("Answer", list(get_type_hints(Assessment).items()), rename={"klass": "class"})
    schema = msgspec.json.schema(shape)
    for shape in schema["$defs"].values():
        shape["additionalProperties"] = False
        shape["required"] = list(shape["properties"])
    answer = schema["$defs"]["Answer"]
    for name in ("because", "next"):
        answer["properties"][name]["minItems"] = 1
    schema["$defs"]["Finding"]["properties"]["basis"] = {"enum": ["read", "memory", "judgement"]}
    answer["properties"]["basis"] = {"enum": ["presumed", "plate", "screened", "established", "undetermined"]}
    answer["properties"]["band"] = {"enum": [*CARE, "unknown"]}
    answer["properties"]["care"] = {"enum": list(CARE)}
    return {"$schema": DIALECT, "title": "One answer", **schema}

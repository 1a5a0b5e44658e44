"""JSON Schemas of a line that comes in and of a line that goes out, made from the shapes themselves."""

import json
from functools import cache
from typing import Any, get_type_hints

import msgspec

from hazmat.core.assess import Assessment
from hazmat.core.bulk import CARE
from hazmat.core.facts import Unit
from hazmat.core.measures import Count, Day, Measure, Place, Tag
from hazmat.core.spans import Span
from hazmat.edge.shapes import COUNTRY, PLAIN_NUMBER

DIALECT = "https://json-schema.org/draft/2020-12/schema"
WHOLE_NUMBER = {"type": "string", "pattern": f"^{PLAIN_NUMBER.pattern}$"}
WRITTEN = "[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?"
SPAN = f"^(~?{WRITTEN}|{WRITTEN}/({WRITTEN})?|/{WRITTEN})$"

KINDS: dict[type, dict[str, Any]] = {
    Measure: {"anyOf": [{"type": "number", "minimum": 0}, WHOLE_NUMBER]},
    Span: {"anyOf": [{"type": "integer", "minimum": 1, "maximum": 9999}, {"type": "string", "pattern": SPAN}]},
    Day: {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    Place: {"type": "string", "pattern": f"^{COUNTRY.pattern}$"},
    Count: {"type": "integer", "minimum": 1},
    Tag: {"type": "string", "pattern": r"\S"},
}


@cache
def text(side: str) -> str:
    """The schema of one side (`in` or `out`) as JSON text."""
    return json.dumps(line_in() if side == "in" else line_out(), indent=1, ensure_ascii=False) + "\n"


def line_in() -> dict[str, Any]:
    """One unit of a register. Any key but id and kind may be null, which means *not known*."""
    schema = msgspec.json.schema(Unit, schema_hook=KINDS.__getitem__)
    for shape in schema["$defs"].values():
        shape["additionalProperties"] = False
        for name, one in shape["properties"].items():
            if name not in shape.get("required", ()):
                shape["properties"][name] = _or_null(one)
    return {"$schema": DIALECT, "title": "One unit of a register", **schema}


def line_out() -> dict[str, Any]:
    """One answer."""
    shape = msgspec.defstruct("Answer", list(get_type_hints(Assessment).items()), rename={"klass": "class"})
    schema = msgspec.json.schema(shape)
    for shape in schema["$defs"].values():
        shape["additionalProperties"] = False
        shape["required"] = list(shape["properties"])
    answer = schema["$defs"]["Answer"]
    answer["properties"]["basis"] = {"enum": ["presumed", "plate", "screened", "established", "undetermined"]}
    answer["properties"]["band"] = {"enum": [*CARE, "unknown"]}
    answer["properties"]["care"] = {"enum": list(CARE)}
    return {"$schema": DIALECT, "title": "One answer", **schema}


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    schema = {key: value for key, value in schema.items() if key != "default"}
    if {"type": "null"} in schema.get("anyOf", ()):
        return schema
    return {"anyOf": [schema, {"type": "null"}]}

"""What is on record about a unit, in words: each fact with its unit of measure and its source."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from hazmat.core.measures import MONTHS
from hazmat.core.unitnow import Known, ProvedDead, UnitNow

NAMES: dict[str, tuple[str, str]] = {
    "kind": ("Kind", ""),
    "count": ("How many alike", ""),
    "mounting": ("How it stands", ""),
    "construction": ("How it is built", ""),
    "state": ("State", ""),
    "built": ("Year built", ""),
    "made_in": ("Made in", ""),
    "plate_words": ("Words on the plate", ""),
    "marks": ("Marks", ""),
    "fluid": ("Fluid", ""),
    "fluid_volume_l": ("Litres of fluid", "L"),
    "fluid_mass_kg": ("Mass of fluid", "kg"),
    "density_kg_l": ("Density of the fluid", "kg/L"),
    "gross_mass_kg": ("Whole mass", "kg"),
    "voltage_v": ("Voltage", "V"),
    "body_cm3": ("Outside volume of the can", "cm³"),
    "history": ("What was done to the fluid", ""),
    "service_records": ("Service records", ""),
    "spaces": ("Oil spaces", ""),
    "last_energised": ("Last under voltage", ""),
    "in_use_before": ("In use before", ""),
    "use_extended_until": ("Use extended until", ""),
    "decided_waste": ("Decided to be waste", ""),
    "arrived": ("Arrived", ""),
    "found_in": ("Place (country)", ""),
    "role": ("Our role towards it", ""),
    "site": ("What kind of place", ""),
    "tests": ("Tests", ""),
}
"""What each key of a register's line is called, and its unit of measure, in the order in which they are read."""

SEEN = {"leak_at": "Where oil shows", "plate": "The plate"}
"""What was seen that is no key of a register's line."""

PLATE = {"partly": "readable in parts", "unknown": "not known"}
"""How a plate could be read, where the word of the record is not enough."""

NOT_KNOWN = "not known"
HOW_KNOWN = {"read": "read in the source", "memory": "from memory, not read", "judgement": "our judgement"}
"""How we know what a citation says, by its basis."""
KNOWN_WORDS: Mapping[Known, str] = {
    "untested": "no signed result", "low": "signed as low", "high": "a result says so",
}  # fmt: skip
"""How well oil is known for whoever pours it or meets it in a drum or in gear."""
PRIVATE = {
    "where": "Where it stands", "owner": "Owner", "owner_phone": "Owner's telephone", "consent": "Consent",
    "access": "Access", "seller": "Seller", "seller_phone": "Seller's telephone", "found_by": "Found by",
    "proved_by": "Proved dead by",
}  # fmt: skip
ASKED = {
    "detector_before": "Detector tried before", "detector_after": "Detector tried after",
    "back_feed": "Feeding back shut out", "earthed": "Earths on",
}  # fmt: skip


def facts(unit: UnitNow) -> list[dict[str, str]]:
    """Each fact that is known, and what is usually asked and is not known."""
    line = unit.judged_line
    found = [{"name": "Leak", "value": plain(unit.leak), "source": ""}]
    for key, name in SEEN.items():
        if word := unit.seen.get(key):
            found.append({"name": name, "value": PLATE.get(word, word) if key == "plate" else word, "source": ""})
    for key, (name, measure) in NAMES.items():
        value = line.get(key)
        if value in (None, [], ""):
            if key in ("built", "plate_words", "fluid", "fluid_volume_l", "service_records", "state"):
                found.append({"name": name, "value": NOT_KNOWN, "source": ""})
            continue
        if key == "count" and str(value) == "1":
            continue
        words = TELL.get(key, said)(value)
        found.append({"name": name, "value": f"{words} {measure}".strip(), "source": unit.sources.get(key, "")})
    if unit.note:
        found.append({"name": "Note", "value": unit.note, "source": ""})
    return found


def event(told: Mapping[str, Any]) -> str:
    """Something done to the fluid: `refilled Mar 2001, with oil of 1.5 mg/kg`."""
    when = f" {span_words(str(told['on']))}" if told.get("on") else ", when is not known"
    held = f", with oil of {told['fluid_mg_kg']} mg/kg" if told.get("fluid_mg_kg") else ""
    return f"{plain(told['what'])}{when}{held}"


def test(told: Mapping[str, Any]) -> str:
    """A test: `laboratory, 7 Mar 2026, tank: less than 2 mg/kg`."""
    head = ", ".join([
        plain(told["how"]), *([span_words(str(told["on"]))] if told.get("on") else ["day not known"]),
        str(told.get("space") or "tank"),
    ])  # fmt: skip
    sign = {"<": "less than ", ">": "more than "}.get(str(told.get("sign", "=")), "")
    measure = " ".join(str(told[key]) for key in ("unit", "basis") if told.get(key))
    if told.get("value") is not None:
        return f"{head}: {sign}{told['value']} {measure}".rstrip()
    if told.get("reporting_limit") is not None:
        return f"{head}: not detected, reporting limit {told['reporting_limit']} {measure}".rstrip()
    rest = [
        f"set point {told['set_point']}" if told.get("set_point") else "", plain(str(told.get("colour") or "")),
        "" if told.get("sinks") is None else "sinks" if told["sinks"] else "floats",
    ]  # fmt: skip
    return f"{head}: {', '.join(word for word in rest if word) or 'no result'}"


def test_rest(told: Mapping[str, Any]) -> str:
    """What else a report says of a test: `± 6 mg/kg (k = 2), reporting limit 2 mg/kg, by IEC 61619, accredited`."""
    measure, spread = str(told.get("unit", "")), told.get("uncertainty")
    found = []
    if told.get("raw") is not None:
        found.append(f"raw {told['raw']} {measure}".rstrip())
    if spread:
        of = "%" if spread["kind"] == "percent" else measure
        found.append(f"± {spread['value']} {of}" + (f" (k = {spread['k']})" if spread.get("k") else ""))
    if told.get("value") is not None and told.get("reporting_limit") is not None:
        found.append(f"reporting limit {told['reporting_limit']} {measure}")
    if told.get("density_kg_l") is not None:
        found.append(f"density {told['density_kg_l']} kg/L")
    if told.get("congener_sum"):
        found.append("in total" if told["congener_sum"] == "total" else f"the sum of {told['congener_sum']} single PCB")
    if told.get("method"):
        found.append(f"by {told['method']}")
    if told.get("accredited") is not None:
        found.append("accredited" if told["accredited"] else "not accredited")
    return ", ".join(found)


def plain(word: Any) -> str:
    """A word of ours as people read it."""
    return NOT_KNOWN if word == "unknown" else str(word).replace("_", " ")


def kind_word(kind: str | None) -> str:
    """A kind of unit; one of no named kind is just a unit."""
    return plain(kind) if kind and kind != "other" else "unit"


def space(told: Mapping[str, Any]) -> str:
    """An oil space: `red phase bushing (bushing, built 1974, sealed for good)`."""
    more = [
        *([plain(told["kind"])] if told.get("kind") else []),
        *([f"built {span_words(str(told['built']))}"] if told.get("built") else []),
        *(["sealed for good" if told["sealed"] else "can be opened"] if told.get("sealed") is not None else []),
    ]
    return f"{told['name']} ({', '.join(more)})" if more else str(told["name"])


def said(value: Any) -> str:
    """A value of a line in words."""
    if isinstance(value, list):
        return "; ".join(said(one) for one in value)
    if isinstance(value, Mapping):
        return ", ".join(f"{plain(str(key))} {said(one)}" for key, one in value.items())
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value).replace("_", " ")


def span_words(written: str) -> str:
    """A span as it is written in a register, in words: `between 1970 and 1985`, `about 1975`, `7 Mar 2026`."""
    if written.startswith("~"):
        return f"about {_day(written[1:])}"
    if "/" not in written:
        return _day(written)
    first, _, last = written.partition("/")
    if first and last:
        return f"between {_day(first)} and {_day(last)}"
    return f"{_day(first)} or later" if first else f"{_day(last)} or earlier"


def _day(written: str) -> str:
    """`1968`, `May 1968` or `1 May 1968`."""
    year, *rest = written.split("-")
    if not rest:
        return year
    month = MONTHS[int(rest[0]) - 1]
    return f"{month} {year}" if len(rest) == 1 else f"{int(rest[1])} {month} {year}"


def claims(unit: UnitNow) -> list[tuple[str, str]]:
    """What the seller said, as it was said."""
    return [(plain(key).capitalize(), said(value)) for key, value in unit.claims.items() if value]


def private(aside: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Names and places, for those who may read them."""
    known = [(PRIVATE[key], str(aside[key])) for key in PRIVATE if aside.get(key)]
    return known + [(plain(key).capitalize(), str(word)) for key, word in aside.items() if key not in PRIVATE and word]


def place_words(aside: Mapping[str, Any]) -> str:
    """Where a picture was taken, in degrees north and east as its camera wrote them; empty where none did."""
    told = [f"{Decimal(aside[key]).normalize():f}°" for key in ("latitude", "longitude") if aside.get(key)]
    return ", ".join(told) if len(told) == 2 else ""


def proof(unit: UnitNow) -> list[tuple[str, str]]:
    """What was looked at when it was proved dead."""
    told: ProvedDead | None = unit.proved
    if told is None:
        return []
    answers = [(name, getattr(told, key)) for key, name in ASKED.items()]
    words = [(name, NOT_KNOWN if value is None else "yes" if value else "no") for name, value in answers]
    return words + [(name, word) for name, word in (("Permit", told.permit), ("Approach", told.approach)) if word]


def _span(value: Any) -> str:
    return span_words(str(value))


def _events(value: Any) -> str:
    return "; ".join(event(one) for one in value)


def _tests(value: Any) -> str:
    return "; ".join(test(one) for one in value)


def _spaces(value: Any) -> str:
    return "; ".join(space(one) for one in value)


TELL: dict[str, Callable[[Any], str]] = {
    **dict.fromkeys(
        ("built", "last_energised", "in_use_before", "use_extended_until", "decided_waste", "arrived"), _span
    ),
    "history": _events,
    "tests": _tests,
    "spaces": _spaces,
}
"""Facts that have words of their own."""

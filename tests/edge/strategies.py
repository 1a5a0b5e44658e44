"""Lines of a register for hypothesis: valid ones of every shape, mutated ones, and no sense at all.

The words are those of the published contract of a line, written out here and not taken from the shapes that read them.
"""

import json
from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

TODAY = date(2026, 11, 25)
FIRST = date(1881, 1, 1)

KINDS = [
    "transformer",
    "regulator",
    "breaker",
    "recloser",
    "switch",
    "capacitor",
    "bushing",
    "instrument_transformer",
    "cable",
    "rectifier",
    "ballast",
    "electromagnet",
    "motor",
    "drum",
    "other",
]
CHOICES = {
    "mounting": "pole pad ground indoor",
    "construction": "conservator sealed",
    "fluid": "mineral askarel silicone ester other",
    "role": "holder generator collector carrier receiver",
    "service_records": "all some none",
    "state": "intact leaking drained in_use removed",
}
MARKS = ["maker_no_pcbs", "owner_no_pcbs", "pcb_mark", "pcb_contaminated_mark"]
CHANGES = ["refilled", "topped_up", "reclaimed", "retrofilled", "drained"]
HOWS = ["laboratory", "screen", "wipe", "density", "maker_label", "similar_unit"]
UNITS = ["mg/kg", "mg/L", "ppm", "ug/100cm2", "%"]
MEASURES = ["fluid_mass_kg", "fluid_volume_l", "gross_mass_kg", "voltage_v", "body_cm3"]
PLACES = ("NZ", "US", "US-WA", "AU-VIC", "GB-SCT", "FR", "CA-ON", "JP")
FLAGS = ["accredited", "wet", "expired", "control_ok", "sinks", "composite", "contrary"]

PLATES = (
    "OIL 75 L", "Pyranol", "PYR ANOL", "ASKAREL", "No PCBs", "NON-PCB", "contains less than 50 ppm PCB", "PCB: 0.5 ppm",
    "PCB", "non-flammable liquid", "{class}", "{word} {0} {}", "{", "}{", "%s %(class)s %", "$class", "\\", "a\nb\r\tc",
    "=1+1", "@x", "Ω 変圧器 🛢", "\u0001\u001b[31m", "less than 00000000000000000000001 ppm pcb", "\u202eabc",
)  # fmt: skip
"""Words as read from plates, and words made to slip through a sentence with slots, a format, a shell or a sheet."""

line_text = st.one_of(
    st.sampled_from(PLATES),
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20).filter(lambda text: bool(text.strip())),
)


LINES = (0, "0", 0.0, "0.00", 2, 1.36, "1.36", 49.99, 50, "50", 50.01, 499, 500)
"""Figures at which a law or the safety band turns."""


def plain(value: Decimal) -> str:
    return format(value, "f")


def numbers(largest: int = 10**12) -> st.SearchStrategy[Any]:
    """A measure in each of its spellings: whole, with a point, as text, and nought."""
    decimals = st.decimals(min_value=0, max_value=largest, places=4)
    return st.one_of(
        st.integers(0, min(largest, 1000)),
        st.integers(0, largest),
        decimals.map(plain),
        st.decimals(min_value=0, max_value=min(largest, 1000), places=2).map(plain),
        st.floats(0, largest, allow_nan=False).map(lambda value: round(value, 6)),
        st.sampled_from([one for one in LINES if float(one) <= largest]),
    )


densities = st.one_of(
    st.decimals(min_value="0.6", max_value=2, places=3).map(plain), st.sampled_from([0.88, "0.88", 1, 1.56, 0.6, 2])
)
days = st.dates(FIRST, TODAY).map(date.isoformat)


@st.composite
def written_dates(draw: st.DrawFn) -> str:
    day = draw(st.one_of(st.dates(FIRST, TODAY), st.sampled_from([date(1979, 7, 2), date(1978, 6, 30), TODAY])))
    return day.isoformat()[: draw(st.sampled_from([4, 7, 10]))]


@st.composite
def spans(draw: st.DrawFn) -> str | int:
    """A day, month, year (a number too), both ends, one open end, or about."""
    one, other = draw(written_dates()), draw(written_dates())
    low, high = sorted((one, other), key=lambda text: (text[:4], text))
    if low[:4] == high[:4]:
        high = low
    spellings = [one, int(one[:4]), one[:4], f"~{one}", f"/{one}", f"{one}/", f"{low}/{high}"]
    return draw(st.sampled_from(spellings))


def maybe(required: dict[str, Any], optional: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    """An object with some of its optional keys, each of which may be null."""
    return st.fixed_dictionaries(required, optional={key: st.none() | one for key, one in optional.items()})


SPACES = ("tank", "tap changer", "bushing 1", "{space}")
space_names = st.sampled_from(SPACES) | line_text
uncertainties = maybe(
    {"value": numbers(1000), "kind": st.sampled_from(["percent", "absolute"])},
    {"k": st.sampled_from([1, "1.96", 2, 3])},
)
events = maybe({"what": st.sampled_from(CHANGES)}, {"on": spans(), "fluid_mg_kg": numbers()})
spaces = maybe({"name": space_names}, {"kind": st.sampled_from(KINDS), "built": spans(), "sealed": st.booleans()})


@st.composite
def tests(draw: st.DrawFn) -> dict[str, Any]:
    """One test; a figure always comes with its unit, and `>` with the figure that was exceeded."""
    unit = draw(st.sampled_from(UNITS))
    largest = 100 if unit == "%" else 10**6
    keys: dict[str, Any] = {
        "space": space_names,
        "on": days,
        "sign": st.sampled_from("=<>"),
        "value": numbers(largest),
        "basis": st.sampled_from(["weight", "volume"]),
        "density_kg_l": densities,
        "reporting_limit": numbers(largest),
        "uncertainty": uncertainties,
        "matrix": st.sampled_from(["oil", "oil", "oil", "solid", "surface"]),
        "method": line_text,
        "congener_sum": st.sampled_from(["six", "seven", "total"]),
        "factor": numbers(1000),
        "set_point": st.sampled_from([20, 50, "50", 500]) | numbers(1000),
        "colour": st.sampled_from(["yellow", "blue_violet", "unclear"]),
        "sample": st.sampled_from(["B-1", "B-2"]) | line_text,
        "report": line_text,
        **{flag: st.booleans() for flag in FLAGS},
    }
    chosen = draw(st.lists(st.sampled_from(sorted(keys)), unique=True, max_size=7))
    chosen += draw(st.sampled_from([["value"], ["value"], ["reporting_limit"], []]))
    found = {key: draw(st.none() | keys[key] if key != "value" else keys[key]) for key in dict.fromkeys(chosen)}
    if found.get("sign") == ">" and not float(found.get("value") or 0):
        del found["sign"]
    return {"how": draw(st.sampled_from(HOWS)), "unit": unit, **found}


@st.composite
def units(draw: st.DrawFn) -> dict[str, Any]:
    """One unit of a register as the object of its line."""
    keys: dict[str, Any] = {
        **{key: st.sampled_from(words.split()) for key, words in CHOICES.items()},
        **{key: numbers() for key in MEASURES},
        "density_kg_l": densities,
        "count": st.integers(1, 10**6),
        "built": spans(),
        "last_energised": spans(),
        **dict.fromkeys(("decided_waste", "arrived", "in_use_before"), days),
        "use_extended_until": st.sampled_from(["1970-01-01", "2026-12-31", "2029-12-31", "2100-12-31"]),
        "made_in": st.sampled_from(PLACES),
        "found_in": st.sampled_from(PLACES),
        "marks": st.lists(st.sampled_from(MARKS), max_size=3),
        "plate_words": st.lists(line_text, max_size=3),
        "history": st.lists(events, max_size=3),
        "spaces": st.lists(spaces, max_size=3, unique_by=lambda one: one["name"]),
        "tests": st.lists(tests(), max_size=3),
    }
    chosen = draw(st.lists(st.sampled_from(sorted(keys)), unique=True, max_size=9))
    if "built" in chosen:  # a day of use before it was built is refused; that has tests of its own
        chosen = [key for key in chosen if key not in ("in_use_before", "last_energised")]
    found = {key: draw(st.one_of(keys[key], keys[key], keys[key], st.none())) for key in chosen}
    return {"id": draw(line_text), "kind": draw(st.sampled_from(KINDS)), **found}


def encoded(unit: dict[str, Any], escaped: bool = False, spaced: bool = False) -> bytes:
    """The object as a line: compact or with blanks, in plain letters or with escapes."""
    separators = (" , ", " : ") if spaced else (",", ":")
    return json.dumps(unit, ensure_ascii=escaped, separators=separators).encode()


lines = st.builds(encoded, units(), st.booleans(), st.booleans())


@st.composite
def mutated(draw: st.DrawFn) -> bytes:
    """A valid line with one to three slips: keys twice, blanks, escapes, bytes flipped, lost or put in."""
    line = draw(lines)
    for _ in range(draw(st.integers(1, 3))):
        line = draw(st.sampled_from(SLIPS))(draw, line)
    return line


def _place(draw: st.DrawFn, line: bytes, marks: bytes) -> int:
    """A place in the line where one of these bytes stands; the end where none does."""
    places = [place for place, byte in enumerate(line) if byte in marks]
    return draw(st.sampled_from(places)) if places else len(line)


def _blank(draw: st.DrawFn, line: bytes) -> bytes:
    place = _place(draw, line, b":,{}[]") + draw(st.integers(0, 1))
    blank = draw(st.sampled_from([b" ", b"\t", b"\r", b"\n", b"  ", b"\x0b", b"\xc2\xa0"]))
    return line[:place] + blank + line[place:]


def _escape(draw: st.DrawFn, line: bytes) -> bytes:
    place = _place(draw, line, bytes(range(0x41, 0x5B)) + bytes(range(0x61, 0x7B)))
    return line[:place] + b"\\u%04x" % line[place] + line[place + 1 :] if place < len(line) else line


def _twice(draw: st.DrawFn, line: bytes) -> bytes:
    """A key put in at the beginning of some object, which may have it already."""
    place = _place(draw, line, b"{") + 1
    keys = ["id", "kind", "how", "unit", "value", "what", "on", "name", "built", "count", "tests", "congeners", "28"]
    value = draw(st.sampled_from(['"drum"', "null", "1", "[]", "{}", '"%"', '":"', '{"a":1}']))
    colon = draw(st.sampled_from([":", " :", ": ", "\t:"]))
    key = draw(st.sampled_from(keys))
    return line[:place] + f'"{key}"{colon}{value},'.encode() + line[place:]


def _flip(draw: st.DrawFn, line: bytes) -> bytes:
    place = draw(st.integers(0, len(line) - 1)) if line else 0
    return line[:place] + bytes([draw(st.integers(0, 255))]) + line[place + 1 :]


def _cut(draw: st.DrawFn, line: bytes) -> bytes:
    first = draw(st.integers(0, len(line)))
    return line[:first] + line[first + draw(st.integers(1, 8)) :]


def _put(draw: st.DrawFn, line: bytes) -> bytes:
    place = draw(st.integers(0, len(line)))
    put = st.sampled_from([b"1e5", b"-", b"NaN", b"\\ud800", b"\\", b'"', b'":', b"\xff", b"\x00", b"0", b"{", b"null"])
    return line[:place] + draw(put) + line[place:]


SLIPS = (_blank, _blank, _escape, _twice, _twice, _flip, _cut, _put)
nonsense = st.one_of(st.binary(max_size=60), st.sampled_from([b"", b" \t\r\n", b"[]", b"{}", b"null", b'"a"', b"0"]))
"""Any bytes whatever."""

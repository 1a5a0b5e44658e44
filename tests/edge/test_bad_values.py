"""Bad numbers, days and values that need each other: one sentence names line, path, what stood, what may stand there.

Expected values are those of the published contract of a line: which keys there are and what each may hold.
"""

from datetime import date

import pytest

from hazmat.core.measures import Measure
from hazmat.core.spans import Span
from tests.edge.sentences import line, read, refusal, says, second
from tests.edge.strategies import MEASURES

NOT_NEGATIVE = "a number that is not negative"
A_DAY, A_SPAN = "a day such as 2026-11-25", "1970/1985"

# ---------------------------------------------------------------------- numbers

ODD_NUMBERS = {
    "-1": "-1",
    "-0.5": "-0.5",
    "-1e-9": "-1E-9",
    "NaN": "NaN",
    "Infinity": "Infinity",
    "-Infinity": "-Infinity",
    "true": "true",
    "false": "false",
    "[]": "a list",
    "{}": "an object",
    "1e13": "1E+13",
    "1e400": "1E+400",
    "9" * 400: "999",
    '""': "“”",
    '"-1"': "“-1”",
    '"+1"': "“+1”",
    '"NaN"': "“NaN”",
    '"nan"': "“nan”",
    '"Infinity"': "“Infinity”",
    '"inf"': "“inf”",
    '"1_000"': "“1_000”",
    '"1,000"': "“1,000”",
    '"1,5"': "“1,5”",
    '"1 000"': "“1 000”",
    '"1\\u00a0000"': "stood there",
    '" 5"': "“ 5”",
    '"5 "': "“5 ”",
    '"5\\n"': "“5?”",
    '".5"': "“.5”",
    '"5."': "“5.”",
    '"1e3"': "“1e3”",
    '"1E3"': "“1E3”",
    '"0x10"': "“0x10”",
    '"١٢"': "“١٢”",
    '"１２"': "“１２”",
    '"½"': "“½”",
    '"5²"': "“5²”",
    '"5 kg"': "“5 kg”",
    '"about 5"': "“about 5”",
    '"1000000000001"': "“1000000000001”",
    '"' + "9" * 5000 + '"': "“999",
}
NUMBER_PATHS = {
    **{key: f'"{key}":%s' for key in [*MEASURES, "density_kg_l"]},
    "tests[0].value": '"tests":[{"how":"laboratory","unit":"mg/kg","value":%s}]',
    "tests[0].set_point": '"tests":[{"how":"screen","set_point":%s}]',
    "history[0].fluid_mg_kg": '"history":[{"what":"refilled","fluid_mg_kg":%s}]',
    "tests[0].congeners.28": '"tests":[{"how":"laboratory","congeners":{"28":%s}}]',
    "tests[0].uncertainty.k": '"tests":[{"how":"laboratory","uncertainty":{"value":1,"kind":"percent","k":%s}}]',
}


@pytest.mark.parametrize("path", NUMBER_PATHS)
@pytest.mark.parametrize("written", ODD_NUMBERS, ids=[written[:20] for written in ODD_NUMBERS])
def test_an_odd_number_is_refused(path: str, written: str) -> None:
    says(line(NUMBER_PATHS[path] % written), path, ODD_NUMBERS[written], NOT_NEGATIVE)


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("12.5", "12.5"), ('"12.5"', "12.5"), ("1.50", "1.50"), ('"1.50"', "1.50"), ("0", "0"), ("1e3", "1000"),
        ("1E-2", "0.01"), ("1000000000000", "1000000000000"), ('"007"', "7"), ("0.1", "0.1"),
        ("49.99999999999999999999999999999999", "49.99999999999999999999999999999999"),
    ],
)  # fmt: skip
def test_a_number_is_read_exactly(written: str, value: str) -> None:
    """Never through a binary float: 0.1 is 0.1, and what lies below 50 stays below 50."""
    assert read(line(f'"fluid_mass_kg":{written}')).fluid_mass_kg == Measure(value)


@pytest.mark.parametrize("written", ["0", "-1", "1.5", "1.0", '"2"', "true", "1e3", "1000000000001", "[]"])
def test_a_count_is_a_whole_number_from_1(written: str) -> None:
    refused = refusal(line(f'"count":{written}'))
    assert refused.path == "count"
    assert "a whole number from 1" in refused.says


# ---------------------------------------------------------------------- days and spans

ODD_SPANS = [
    "3019", '"3019"', '"3019-01-01"', '"/3019"', '"3019/"', '"~3019"', '"1968/3019"', '"2026-12"',
    '"2026-11-26"', "2027", '"1985/1970"', '"1970-02/1970-01"', '"1970-01-02/1970-01-01"', "0", "5", "-1968",
    "1968.5", "1968.0", "196805", '"0000"', '"68"', '"1968-5"', '"1968-13"', '"1968-00"', '"1968-02-30"',
    '"1969-02-29"', '"1900-02-29"', '"1968-05-00"', '"/"', '""', '"~"', '"~~1975"', '"1975~"',
    '"1968/1970/1972"', '" 1968"', '"1968 "', '"1968\\n"', '"1968/ 1970"', '"١٩٦٨"', '"１９６８"', '"~1970/1975"',
    '"1970/~1975"', '"1970-1975"', '"about 1975"', '"1975-01-01T00:00:00"', '"19750101"', '"1968-W05"', "true",
    "[]", "{}", "1e3", "[1968]", '"-1968"',
]  # fmt: skip
SPAN_PATHS = {
    "built": '"built":%s',
    "last_energised": '"last_energised":%s',
    "history[0].on": '"history":[{"what":"drained","on":%s}]',
    "spaces[0].built": '"spaces":[{"name":"a","built":%s}]',
}


@pytest.mark.parametrize("path", SPAN_PATHS)
@pytest.mark.parametrize("written", ODD_SPANS)
def test_an_odd_span_is_refused(path: str, written: str) -> None:
    says(line(SPAN_PATHS[path] % written), path, "stood there", A_SPAN)


def test_a_refused_span_says_what_stood_there() -> None:
    says(line('"built":"1985/1970"'), "built", "“1985/1970” stood there", "in order and not after today (25 Nov 2026)")
    says(line('"built":3019'), "built", "3019 stood there", "not after today (25 Nov 2026)")


ODD_DAYS = [
    '"1968"', '"1968-05"', "1968", "20260101", '"2026-11-26"', '"3019-01-01"', '"20261101"', '"2026-W01-1"',
    '"2026-02-30"', '"0000-01-01"', '"2026-11-25 "', '"2026-11-25\\n"', '"2026-11-25T00:00"', '"25/11/2026"',
    '"~2026-01-01"', '"/2026-01-01"', '"٢٠٢٦-٠١-٠١"', '""', "true", "[]", "{}",
]  # fmt: skip


@pytest.mark.parametrize("key", ["decided_waste", "arrived", "in_use_before", "tests[1].on"])
@pytest.mark.parametrize("written", ODD_DAYS)
def test_an_odd_day_is_refused(key: str, written: str) -> None:
    raw = line(f'"{key}":{written}') if "[" not in key else second(f'"on":{written}')
    says(raw, key, "stood there", A_DAY)


@pytest.mark.parametrize(
    ("written", "earliest", "latest"),
    [
        ('"1968-05-01"', date(1968, 5, 1), date(1968, 5, 1)),
        ('"1968-05"', date(1968, 5, 1), date(1968, 5, 31)),
        ('"1968-02"', date(1968, 2, 1), date(1968, 2, 29)),
        ('"1968"', date(1968, 1, 1), date(1968, 12, 31)),
        ("1968", date(1968, 1, 1), date(1968, 12, 31)),
        ('"1970/1985"', date(1970, 1, 1), date(1985, 12, 31)),
        ('"/1985"', None, date(1985, 12, 31)),
        ('"1970/"', date(1970, 1, 1), None),
        ('"~1975"', date(1970, 1, 1), date(1980, 12, 31)),
        ("2026", date(2026, 1, 1), date(2026, 12, 31)),
        ('"~2026"', date(2021, 1, 1), date(2031, 12, 31)),
    ],
)
def test_a_span_is_read_in_each_spelling(written: str, earliest: date | None, latest: date | None) -> None:
    """The contract: day, month, year (number too), both ends, one open end, about (five years either side)."""
    assert read(line(f'"built":{written}')).built == Span(earliest, latest)


# ---------------------------------------------------------------------- values that need each other

CONTRADICTIONS = {
    "value without unit": (second('"value":45'), "tests[1].unit", "without its unit", "mg/kg, mg/L, ppm"),
    "value, unit null": (second('"value":45,"unit":null'), "tests[1].unit", "without its unit", "mg/kg"),
    "limit without unit": (second('"reporting_limit":2'), "tests[1].unit", "without its unit", "mg/kg"),
    "nought without unit": (second('"value":0'), "tests[1].unit", "without its unit", "mg/kg"),
    "density of the unit in kg/m3": (line('"density_kg_l":880'), "density_kg_l", "880", "such as 0.88"),
    "density of a test in kg/m3": (second('"density_kg_l":"880"'), "tests[1].density_kg_l", "880", "such as 0.88"),
    "density nought": (line('"density_kg_l":0'), "density_kg_l", "0", "such as 0.88"),
    "k nought": (
        second('"uncertainty":{"value":1,"kind":"percent","k":0}'), "tests[1].uncertainty.k", "0", "from 0.1 to 10",
    ),
    "more than all of it": (second('"value":101,"unit":"%"'), "tests[1].value", "101 %", "no more than 100, the whole"),
}  # fmt: skip


@pytest.mark.parametrize(("raw", "path", "stood", "may"), CONTRADICTIONS.values(), ids=CONTRADICTIONS.keys())
def test_values_that_cannot_stand_together_are_refused(raw: bytes, path: str, stood: str, may: str) -> None:
    says(raw, path, stood, may)


@pytest.mark.parametrize(
    "inner",
    [
        '"density_kg_l":"2.%s1"',
        '"tests":[{"how":"laboratory","density_kg_l":"2.%s1"}]',
        '"tests":[{"how":"laboratory","unit":"%%","value":"100.%s1"}]',
    ],
)
def test_a_number_of_many_digits_does_not_break_the_sentence(inner: str) -> None:
    refusal(line(inner % ("0" * 3000)))


@pytest.mark.parametrize(
    ("raw", "path"),
    [
        ('"built":1979,"in_use_before":"1978-12-31"', "in_use_before"),
        ('"built":"2005","last_energised":"2004"', "last_energised"),
    ],
)
def test_use_before_it_was_built_is_refused(raw: str, path: str) -> None:
    refused = refusal(line(raw))
    assert refused.path == path
    assert "before it was built" in str(refused)


@pytest.mark.parametrize(
    "raw",
    [
        '"built":1979,"in_use_before":"1979-01-01"',
        '"built":"1970/1985","last_energised":"1970"',
        '"built":"/1985","in_use_before":"1900-01-01"',
    ],
)
def test_use_that_may_be_after_it_was_built_is_read(raw: str) -> None:
    assert read(line(raw))

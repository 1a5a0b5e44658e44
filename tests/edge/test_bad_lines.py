"""Bad lines, keys, ids and words: one sentence names line, path, what stood there and what may stand there.

Expected values are those of the published contract of a line: which keys there are and what each may hold.
"""

import json

import pytest

from hazmat.core.facts import Unit
from hazmat.edge.reader import Reader, Refused
from tests.edge.sentences import GOOD, is_one_sentence, line, read, refusal, says, second
from tests.edge.strategies import CHOICES, TODAY

# ---------------------------------------------------------------------- the line as a whole

NOT_JSON = {
    "words": b"nonsense",
    "cut off": b'{"id":"A1","kind":"drum"',
    "a comma at the end": b'{"id":"A1","kind":"drum",}',
    "two objects": b'{"id":"A1","kind":"drum"}{"id":"A2","kind":"drum"}',
    "single quotes": b"{'id':'A1','kind':'drum'}",
    "a comment": b'{"id":"A1","kind":"drum"} // old',
    "a key without quotes": b'{id:"A1","kind":"drum"}',
    "csv": b"id,kind,built",
    "1_000": b'{"id":"A1","kind":"drum","fluid_mass_kg":1_000}',
    "a nought before": b'{"id":"A1","kind":"drum","fluid_mass_kg":012}',
    "a plus": b'{"id":"A1","kind":"drum","fluid_mass_kg":+1}',
    "no digit before the point": b'{"id":"A1","kind":"drum","fluid_mass_kg":.5}',
    "no digit after the point": b'{"id":"A1","kind":"drum","fluid_mass_kg":5.}',
    "a decimal comma": b'{"id":"A1","kind":"drum","fluid_mass_kg":1,5}',
    "a blank in a number": b'{"id":"A1","kind":"drum","fluid_mass_kg":1 000}',
    "digits of another script": '{"id":"A1","kind":"drum","fluid_mass_kg":١٢}'.encode(),
    "hexadecimal": b'{"id":"A1","kind":"drum","fluid_mass_kg":0x1F}',
    "True": b'{"id":"A1","kind":"drum","tests":[{"how":"screen","wet":True}]}',
    "a bare control character": b'{"id":"A\x01","kind":"drum"}',
    "a bare tab in a text": b'{"id":"A\t1","kind":"drum"}',
    "a nought byte": b'{"id":"A1","kind":"drum"}\x00',
    "a wrong escape": b'{"id":"A\\x31","kind":"drum"}',
    "a byte-order mark in the middle": b'\xef\xbb\xbf{"id":"A1","kind":"drum"}',
    "a number of 5000 digits": b'{"id":"A1","kind":"drum","fluid_mass_kg":' + b"9" * 5000 + b"}",
}


@pytest.mark.parametrize("raw", NOT_JSON.values(), ids=NOT_JSON.keys())
def test_what_is_not_json_is_refused(raw: bytes) -> None:
    says(raw, "", "not JSON", '{"id": "A1", "kind": "drum"}')


NOT_AN_OBJECT = {
    b'[{"id":"A1","kind":"drum"}]': "a list",
    b"[]": "a list",
    b'"A1"': "“A1”",
    b"12": "12",
    b"true": "true",
    b"null": "nothing",
}


@pytest.mark.parametrize(("raw", "stood"), NOT_AN_OBJECT.items())
def test_what_is_no_object_is_refused(raw: bytes, stood: str) -> None:
    says(raw, "", f"{stood} stood there", "one object may stand there")


@pytest.mark.parametrize(
    "raw", ['{"id":"é","kind":"drum"}'.encode("latin-1"), GOOD.decode().encode("utf-16"), b"\xff", b'{"id":"\xc3\x28"}']
)
def test_what_is_not_utf_8_is_refused(raw: bytes) -> None:
    says(raw, "", "not UTF-8", "save the file as UTF-8")


@pytest.mark.parametrize("raw", [line(r'"made_in":"\ud800"'), line(r'"\udfff":1'), line(r'"plate_words":["a\udc00b"]')])
def test_half_a_character_is_refused(raw: bytes) -> None:
    """A lone surrogate is no text: RFC 8259, section 8.2."""
    says(raw, "", "half a character", "whole character")


def test_a_whole_character_of_two_escapes_is_read() -> None:
    assert read(line(r'"plate_words":["\ud83d\ude00"]')).plate_words == ("\U0001f600",)


# ---------------------------------------------------------------------- keys

UNKNOWN = {
    "top": (line('"colour":"grey"'), "colour", "fluid_mass_kg"),
    "top, null": (line('"colour":null'), "colour", "fluid_mass_kg"),
    "another letter case": (line('"Built":1968'), "Built", "built"),
    "empty": (line('"":1'), "", "fluid_mass_kg"),
    "a test": (second('"result":5'), "tests[1].result", "reporting_limit"),
    "a test, null": (second('"result":null'), "tests[1].result", "reporting_limit"),
    "an uncertainty": (second('"uncertainty":{"value":1,"kind":"percent","q":2}'), "tests[1].uncertainty.q", "k"),
    "history": (line('"history":[{"what":"drained","when":1970}]'), "history[0].when", "fluid_mg_kg"),
    "a space": (line('"spaces":[{"name":"a","size":2}]'), "spaces[0].size", "sealed"),
}


@pytest.mark.parametrize(("raw", "path", "may"), UNKNOWN.values(), ids=UNKNOWN.keys())
def test_an_unknown_key_is_refused(raw: bytes, path: str, may: str) -> None:
    says(raw, path, "nobody knows this key", may)


@pytest.mark.parametrize("name", [r"a\nline 3: all good", r"\u001b[31mred", "x" * 5000, r"\u2028", r"\u202eabc"])
def test_an_odd_unknown_key_does_not_break_the_sentence(name: str) -> None:
    refusal(line(f'"{name}":1'))
    refusal(second(f'"{name}":1'))
    refusal(line(f'"{name}":1,"{name}":2'))
    refusal(second(f'"congeners":{{"{name}":-1}}'))


TWICE = {
    "top": (line('"kind":"drum"'), "kind"),
    "the same value": (line('"built":1968,"built":1968'), "built"),
    "both null": (line('"built":null,"built":null'), "built"),
    "blanks before the colon": (line('"built":1968,"built" \t:1968'), "built"),
    "an escape": (line(r'"built":1968,"\u0062uilt":1968'), "built"),
    "an unknown key": (line('"colour":1,"colour":2'), "colour"),
    "a test": (second('"how":"screen"'), "tests[1].how"),
    "a test, with blanks": (second('"how"  :"screen"'), "tests[1].how"),
    "a test, with an escape": (second(r'"h\u006fw":"screen"'), "tests[1].how"),
    "a space": (line('"spaces":[{"name":"a","name":"b"}]'), "spaces[0].name"),
    "an uncertainty": (second('"uncertainty":{"value":1,"value":2,"kind":"percent"}'), "tests[1].uncertainty.value"),
}


@pytest.mark.parametrize(("raw", "path"), TWICE.values(), ids=TWICE.keys())
def test_a_repeated_key_is_refused(raw: bytes, path: str) -> None:
    says(raw, path, "stood twice", "keep one")


@pytest.mark.parametrize(
    ("raw", "path", "may"),
    [
        (b"{}", "id", "a text"),
        (b'{"id":"A1"}', "kind", "transformer"),
        (b'{"kind":"drum"}', "id", "a text"),
        (b'{"id":"A1","kind":null}', "kind", "transformer"),
        (b'{"id":null,"kind":"drum"}', "id", "a text"),
        (second('"on":"2020-01-01"').replace(b'"how":"laboratory",', b""), "tests[1].how", "laboratory"),
        (line('"history":[{"on":1970}]'), "history[0].what", "topped_up"),
        (line('"spaces":[{"sealed":true}]'), "spaces[0].name", "a text"),
        (second('"uncertainty":{"value":1}'), "tests[1].uncertainty.kind", "percent"),
    ],
)
def test_a_key_that_must_stand_there_is_asked_for(raw: bytes, path: str, may: str) -> None:
    says(raw, path, "nothing stood there", may)


# ---------------------------------------------------------------------- ids

IDS = {'""': "“”", '" "': "“ ”", '"\\t\\n"': "“??”", "5": "5", "true": "true", "[]": "a list", "{}": "an object"}


@pytest.mark.parametrize(("written", "stood"), IDS.items())
def test_an_empty_or_odd_id_is_refused(written: str, stood: str) -> None:
    says(f'{{"id":{written},"kind":"drum"}}'.encode(), "id", f"{stood} stood there", "a text that is not empty")


@pytest.mark.parametrize("written", ["good", r"\u0067ood"])
def test_a_repeated_id_is_refused(written: str) -> None:
    says(f'{{"id":"{written}","kind":"drum"}}'.encode(), "id", "“good” stood on an earlier line", "an id of its own")


def test_a_repeated_odd_id_is_still_one_sentence() -> None:
    raw = b'{"id":"a\\nb\\u001b%s","kind":"drum"}' % (b"x" * 900)
    (_, first), (_, second) = Reader(TODAY).lines([raw, raw])
    assert isinstance(first, Unit)
    assert isinstance(second, Refused)
    is_one_sentence(second)


# ---------------------------------------------------------------------- words

WRONG_WORDS: list[tuple[bytes, str, str, str]] = [
    *[
        (f'{{"id":"A1","kind":{json.dumps(word)}}}'.encode(), "kind", shown, "one of transformer, regulator")
        for word, shown in [
            ("drumm", "“drumm”"), ("Drum", "“Drum”"), ("drum ", "“drum ”"), ("", "“”"), (3, "3"), (True, "true"),
            (["drum"], "a list"), ({}, "an object"),
        ]
    ],
    *[
        (line(f'"{key}":"nonsense"'), key, "“nonsense”", f"one of {', '.join(words.split())}")
        for key, words in CHOICES.items()
    ],
    (line('"marks":"pcb_mark"'), "marks", "“pcb_mark”", "a list"),
    (line('"marks":["pcb"]'), "marks[0]", "“pcb”", "owner_no_pcbs"),
    (line('"marks":["pcb_mark",null]'), "marks[1]", "nothing", "owner_no_pcbs"),
    (line('"plate_words":"OIL"'), "plate_words", "“OIL”", "a list"),
    (line('"plate_words":["OIL",5]'), "plate_words[1]", "5", "a text"),
    (line('"plate_words":[""]'), "plate_words[0]", "“”", "a text"),
    (line('"tests":{}'), "tests", "an object", "a list"),
    (line('"tests":[null]'), "tests[0]", "nothing", "an object"),
    (line('"tests":["screen"]'), "tests[0]", "“screen”", "an object"),
    (line('"history":[{"what":"painted"}]'), "history[0].what", "“painted”", "reclaimed"),
    (line('"spaces":[{"name":"a","kind":"box"}]'), "spaces[0].kind", "“box”", "bushing"),
    (line('"spaces":[{"name":"a","sealed":"yes"}]'), "spaces[0].sealed", "“yes”", "true or false"),
    (second('"unit":"mgkg"'), "tests[1].unit", "“mgkg”", "mg/kg, mg/L, ppm, ug/100cm2, %"),
    (second('"unit":"MG/KG"'), "tests[1].unit", "“MG/KG”", "mg/kg"),
    (second('"sign":"<="'), "tests[1].sign", "“<=”", "=, <, >"),
    (second('"uncertainty":5'), "tests[1].uncertainty", "5", "an object"),
    (second('"uncertainty":{"value":5,"kind":"%"}'), "tests[1].uncertainty.kind", "“%”", "percent, absolute"),
    *[
        (second(f'"{flag}":{written}'), f"tests[1].{flag}", shown, "true or false")
        for flag in ("accredited", "wet", "sinks", "composite")
        for written, shown in [("1", "1"), ("0", "0"), ('"true"', "“true”"), ("[]", "a list")]
    ],
    *[
        (line(f'"{key}":{json.dumps(code)}'), key, shown, "a country code such as NZ")
        for key in ("found_in", "made_in")
        for code, shown in [
            ("nz", "“nz”"), ("NZL", "“NZL”"), ("New Zealand", "“New Zealand”"), ("US-", "“US-”"),
            ("US-WASH", "“US-WASH”"), ("ÅÅ", "“ÅÅ”"), ("", "“”"), ("NZ ", "“NZ ”"), (64, "64"),
            (["NZ"], "a list"), (True, "true"),
        ]
    ],
    (line('"spaces":[{"name":"a"},{"name":"a"}]'), "spaces[1].name", "“a”", "no other space"),
    (line('"spaces":[{"name":" "}]'), "spaces[0].name", "“ ”", "may stand there"),
    (second('"space":""'), "tests[1].space", "“”", "may stand there"),
]  # fmt: skip


@pytest.mark.parametrize(("raw", "path", "stood", "may"), WRONG_WORDS, ids=[f"{w[1]} {w[2]}" for w in WRONG_WORDS])
def test_an_unknown_word_is_refused(raw: bytes, path: str, stood: str, may: str) -> None:
    says(raw, path, f"{stood} stood there", may)


def test_an_odd_name_of_a_space_does_not_break_the_sentence() -> None:
    name = r"a\nb\u001b" + "x" * 900
    refusal(line(f'"spaces":[{{"name":"{name}"}},{{"name":"{name}"}}]'))

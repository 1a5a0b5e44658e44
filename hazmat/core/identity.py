"""What a plate says: fluid names by exact whole words, denials first.

Source of the matching rule: house rule. A name counts where a run of one to four neighbouring words, joined without
spaces and hyphens, is a listed name. Nothing is guessed from part of a word. A word one slip away from a listed name
asks which it is and decides nothing; so does a listed PCB fluid beside a plain denial.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise
from typing import Literal, NamedTuple

from hazmat.core.findings import spoken
from hazmat.core.slips import Slips

Reads = Literal["pcb", "ask", "not_pcb", "claim", "none"]
LONGEST_RUN = 4
"""How many neighbouring words may make one name. Source: house rule."""

_WORD = re.compile(r"[^\W\d_]+|\d+")
_DASH = re.compile("[\u2010-\u2015\u2212]")
_HINTS = ("pcb", "p.c.b", "biphenyl")
_PCB = re.compile(r"pcbs?|p\.c\.b\.?s?|poly-?chlorinated[ -]?biphenyls?|polychlorobiphenyls?")
_CLAUSE = re.compile(r"(?<!\bno)[.,;](?= |$)")
_DENIAL = re.compile(r"\b(?:no|non|not|never|without|zero|free|nil|none|absent)\b|(?<![\d.,])0(?![\d.,])|n['’]t\b")
_BEFORE = re.compile(
    r"(?:\bno(?![.:])|\bnon|\bnot|\bwithout|\bzero|\bfree (?:of|from))"
    r"(?:[ -]+(?:contain(?:ing|s)?|any|detectable))*[ -]*$"
)
_AFTER = re.compile(
    r"[ -]*free\b(?! ?[:?])|[ -]*(?:: ?)?(?:no|nil|none|absent|0)(?: (?:detected|found))?[ .]*$",
)
_OPEN = re.compile(
    r"[ -]?(?!(?:19|20)\d\d\b)\d| (?:test|data|analys|sampl|result|record|label|certificate|report|limit)"
)
_LIMIT = r"(?:<|less than|below|under|max(?:imum)?\.?) ?([0-9]+(?:\.[0-9]+)?) ?(?:ppm|mg/kg|mg/l)"
_LESS_BEFORE = re.compile(rf"{_LIMIT}(?: of)? ?$")
_LESS_AFTER = re.compile(rf"[ :]*{_LIMIT}(?! or\b)")


@dataclass(frozen=True, slots=True)
class FluidName:
    """A listed fluid name, how it reads (and how one rulebook reads it instead), and its documents."""

    name: str
    reads: str
    reads_in: Mapping[str, str]
    halogenated: bool
    documents: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plate:
    """What the words of a plate come to: the reading, the words that decide, whether a fluid named there is
    halogenated, and whether only the bare word PCB stands there.

    `near`: the listed name that is one slip away, or that is denied; `denied`: which of the two; `might`: how that name
    would read by itself.
    """

    reads: Reads = "none"
    word: str = ""
    halogenated: bool = False
    bare: bool = False
    near: str = ""
    denied: bool = False
    might: Reads = "none"


NO_PLATE = Plate()


class Hit(NamedTuple):
    """A listed name in a row of words: from the word `first` to before the word `end`."""

    name: FluidName
    first: int
    end: int


class Names:
    """The list of fluid names, by name joined without spaces and hyphens. `ordinary`: words that are no slip of one."""

    def __init__(self, listed: Mapping[str, FluidName], ordinary: Iterable[str] = ()) -> None:
        self.listed = listed
        self._beginnings = {name[:end] for name in listed for end in range(1, len(name) + 1)}
        in_words = {key: len(_WORD.findall(folded(name.name))) > 1 for key, name in listed.items()}
        self._slips = Slips(in_words, frozenset(ordinary))

    def find(self, words: list[str]) -> list[Hit]:
        """The listed names in a row of words; where one name is part of a longer one, the longer one alone."""
        found: list[Hit] = []
        place = 0
        while place < len(words):
            run, longest, name = "", 0, None
            for length in range(LONGEST_RUN):
                run += words[place + length] if place + length < len(words) else "\0"
                if run not in self._beginnings:
                    break
                if run in self.listed:
                    longest, name = length + 1, self.listed[run]
            if name:
                found.append(Hit(name, place, place + longest))
            place += longest or 1
        return found

    def near(self, words: list[str], gaps: list[str], hits: list[Hit]) -> set[str]:
        """The listed names that a run of words is one slip away from, beside the names that stand there.

        `gaps`: what stands after each word.
        """
        taken = {place for hit in hits for place in range(hit.first, hit.end)}
        found: set[str] = set()
        for first in range(len(words)):
            run, apart = "", False
            for place in range(first, min(first + LONGEST_RUN, len(words))):
                if place in taken:
                    break
                run += words[place]
                found |= self._slips.of(run, apart)
                apart = apart or gaps[place].strip("-") != ""
        return found


def folded(text: str) -> str:
    """Lower case, no accents, plain hyphens and single spaces."""
    bare = text.casefold()
    if not bare.isascii():
        decomposed = unicodedata.normalize("NFKD", bare)
        bare = _DASH.sub("-", "".join([c for c in decomposed if not unicodedata.combining(c)]))
    return " ".join(bare.split())


def joined(name: str) -> str:
    """A name as it is compared: its words without spaces, hyphens and other marks."""
    return "".join(_WORD.findall(folded(name)))


STRENGTH: tuple[Reads, ...] = ("none", "claim", "not_pcb", "ask", "pcb")
"""Readings in order of care; the worst of all texts on a plate counts."""


def read_plate(texts: tuple[str, ...], names: Names, law: str, claim_below: Decimal) -> Plate:
    """The worst reading of the texts under one law. `claim_below`: ppm below which "less than N" is a claim."""
    return _worst([_read_text(text, names, law, claim_below) for text in texts])


def _worst(found: list[Plate]) -> Plate:
    """The reading that asks for most care; halogenated where any of them is."""
    worst = max(found, key=lambda p: (STRENGTH.index(p.reads), STRENGTH.index(p.might)), default=NO_PLATE)
    halogenated = any(plate.halogenated for plate in found)
    return worst if worst.halogenated == halogenated else replace(worst, halogenated=halogenated)


def _read_text(text: str, names: Names, law: str, claim_below: Decimal) -> Plate:
    plain = folded(text)
    spans = [word.span() for word in _WORD.finditer(plain)]
    if not spans:
        return NO_PLATE
    words = [plain[start:end] for start, end in spans]
    hits = names.find(words)
    said = [_read_bare(spoken(text), plain, claim_below)]
    for place, hit in enumerate(hits):
        start = spans[hits[place - 1].end - 1][1] if place else 0
        stop = spans[hits[place + 1].first][0] if place + 1 < len(hits) else len(plain)
        before, after = plain[start : spans[hit.first][0]], plain[spans[hit.end - 1][1] : stop]
        said.append(_read_name(hit.name, text, before, after, law))
    gaps = [plain[end:start] for (_, end), (start, _) in pairwise([*spans, (len(plain), len(plain))])]
    for key in sorted(names.near(words, gaps, hits)):
        near = names.listed[key]
        said.append(Plate("ask", spoken(text), near=near.name, might=_reads_under(near, law)))
    return _worst(said)


def _read_name(name: FluidName, text: str, before: str, after: str, law: str) -> Plate:
    """A listed name with the words about it; a denial beside one that reads as PCB only asks."""
    reads = _reads_under(name, law)
    if reads == "pcb" and _denies(_CLAUSE.split(before)[-1], _CLAUSE.split(after)[0]):
        return Plate("ask", spoken(text), name.halogenated, near=name.name, denied=True, might=reads)
    return Plate(reads, name.name, name.halogenated)


def _reads_under(name: FluidName, law: str) -> Reads:
    return _as_reads(name.reads_in.get(law, name.reads))


def _as_reads(word: str) -> Reads:
    return "pcb" if word == "pcb" else "ask" if word == "ask" else "not_pcb"


def _read_bare(text: str, plain: str, claim_below: Decimal) -> Plate:
    """The bare word PCB: denied, claimed to be little, or said to be there; each mention in its own clause."""
    if not any(hint in plain for hint in _HINTS):
        return NO_PLATE
    hits = [hit for hit in _PCB.finditer(plain) if _stands_alone(plain, hit)]
    ends = [0, *(hit.end() for hit in hits)]
    starts = [*(hit.start() for hit in hits), len(plain)]
    for place, hit in enumerate(hits):
        before = _CLAUSE.split(plain[ends[place] : hit.start()])[-1]
        after = _CLAUSE.split(plain[hit.end() : starts[place + 1]])[0]
        if not _denied(before, after, claim_below):
            return Plate("pcb", text, bare=True)
    return Plate("claim", text) if hits else NO_PLATE


def _stands_alone(plain: str, hit: re.Match[str]) -> bool:
    """Whether no letter touches the word; a number may (`pcb1254`)."""
    before, after = plain[max(hit.start() - 1, 0) : hit.start()], plain[hit.end() : hit.end() + 1]
    return not before.isalnum() and not after.isalpha()


def _denied(before: str, after: str, claim_below: Decimal) -> bool:
    """Whether a clause denies PCB, or claims little of it. A denial that is itself denied is none."""
    limit = _LESS_BEFORE.search(before) or _LESS_AFTER.match(after)
    if limit:
        return not _DENIAL.search(f"{before} {after}") and Decimal(limit[1]) <= claim_below
    return _denies(before, after)


def _denies(before: str, after: str) -> bool:
    """Whether the words right beside a name deny it, and nothing else in the clause does."""
    if len(_DENIAL.findall(f"{before} {after}")) != 1:
        return False
    return bool((_BEFORE.search(before) and not _OPEN.match(after)) or _AFTER.match(after))

"""Reasons: a key with values first, words last. Each carries its document."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NamedTuple

from hazmat.core.law import Act, Cite, Row, Sentence
from hazmat.core.measures import figure_words

ENDS = (".", "!", "?")
LONGEST_SPOKEN = 60
"""Longest text of a register inside a sentence, in characters. Source: our own choice."""


class Shared(tuple[Any, ...]):
    """A tuple that many answers have in common: whoever writes it may keep what was made of it."""

    __slots__ = ()


class Reason(NamedTuple):
    """A sentence with slots that stands for a decision; `reading`: which reading fills its slots, or None."""

    key: str
    says: str
    cite: Cite
    reading: int | None = None

    def finished(self, values: Mapping[str, str]) -> str:
        """The sentence in words, with its full stop. Raises KeyError where a slot has no value."""
        return finish(self.says, values)


@dataclass(frozen=True, slots=True)
class Finding:
    """One reason in words, with its document and how we know it."""

    key: str
    says: str
    cite: str
    basis: str


def of_row(row: Row) -> Reason:
    return Reason(f"{row.table}: {row.name}", row.says, row.cite)


def of_sentence(sentence: Sentence, reading: int | None = None) -> Reason:
    return Reason(sentence.key, sentence.says, sentence.cite, reading)


def of_act(act: Act) -> Reason:
    return Reason(act.act, act.says, act.cite)


def finish(says: str, values: Mapping[str, str]) -> str:
    """Fill the slots and close the sentence."""
    filled = says.format_map(values) if "{" in says else says
    if filled[:1].islower():
        filled = filled[:1].upper() + filled[1:]
    return filled if filled.endswith(ENDS) else filled + "."


def spoken(text: str) -> str:
    """Words of a register as they stand in a sentence: one line, nothing unprintable, not too long."""
    line = " ".join("".join([c if c.isprintable() else " " for c in text]).split())
    return line if len(line) <= LONGEST_SPOKEN else line[: LONGEST_SPOKEN - 1].rstrip() + "…"


def result_words(sign: str, value: Decimal, unit: str) -> str:
    """`62 mg/kg`, `less than 2 mg/kg`, `more than 500 mg/kg`."""
    word = {"<": "less than ", ">": "more than "}.get(sign, "")
    return f"{word}{figure_words(value)} {unit}"

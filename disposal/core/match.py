"""A code as somebody typed it off a certificate, against the codes of what went with the load.

A code that is one slip away is offered and never taken alone: two drums can differ by as little.
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

DASHES = "Pd"
"""The sort of characters that join groups of a code on paper. Source: Unicode, General_Category."""


@dataclass(frozen=True, kw_only=True)
class Match:
    """What a typed code can mean: `exact`, else the codes that are `near` it, in order; neither where it is unknown."""

    exact: str = ""
    near: tuple[str, ...] = ()


def plain(typed: str) -> str:
    """A code without blanks, dashes and small letters."""
    return "".join(one for one in typed.upper() if not one.isspace() and unicodedata.category(one) != DASHES)


def match(typed: str, codes: Iterable[str]) -> Match:
    """Which of these codes is meant; all that are one slip away where none is exactly it."""
    asked, known = plain(typed), sorted(set(codes))
    if asked in known:
        return Match(exact=asked)
    return Match(near=tuple(one for one in known if one_slip(asked, one)))


def one_slip(left: str, right: str) -> bool:
    """Whether one character is changed, missing or too many, or two neighbours changed places."""
    if left == right:
        return False
    short, long = sorted((left, right), key=len)
    at = next((place for place, one in enumerate(short) if one != long[place]), len(short))
    if len(long) == len(short) + 1:
        return short[at:] == long[at + 1 :]
    if len(long) != len(short):
        return False
    return short[at + 1 :] == long[at + 1 :] or short[at:] == long[at + 1 : at + 2] + long[at : at + 1] + long[at + 2 :]

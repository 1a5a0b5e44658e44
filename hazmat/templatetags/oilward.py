"""The inked ring, codes, days and numbers as pages and papers show them."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any
from zoneinfo import ZoneInfo

from django import template
from django.utils import timezone
from django.utils.safestring import SafeString

from hazmat.core import codes
from hazmat.core.measures import day_words, figure_words
from hazmat.papers.marks import BAND_WORDS, ring_svg

register = template.Library()


@register.simple_tag
def ring(answer: Mapping[str, Any], name: str = "hatch") -> SafeString:
    """The ring of an answer: its safety band, solid where a laboratory result stands."""
    return ring_svg(answer.get("band", "unknown"), answer.get("basis") == "established", name)


@register.simple_tag
def ring_of(care: str, basis: str, name: str) -> SafeString:
    """The ring of a line of a list."""
    return ring_svg(care, basis == "established", name)


@register.filter
def band_words(band: str) -> str:
    """A step of the safety band in words."""
    return BAND_WORDS.get(band, BAND_WORDS["unknown"])


@register.filter
def spaced(code: str) -> str:
    """A code in groups of three."""
    return codes.spaced(code)


@register.filter
def day(value: Any) -> str:
    """`7 Mar 2026`, of a day, an instant in the current zone, or their ISO text."""
    found = _parsed(value)
    if isinstance(found, datetime):
        found = _local(found).date()
    return day_words(found) if isinstance(found, date) else str(value or "")


@register.filter
def moment(value: Any) -> str:
    """`7 Mar 2026, 14:30` in the current zone."""
    found = _parsed(value)
    if not isinstance(found, datetime):
        return day(value)
    local = _local(found)
    return f"{day_words(local.date())}, {local:%H:%M}"


def _local(found: datetime) -> datetime:
    return timezone.localtime(found) if timezone.is_aware(found) else found


def _parsed(value: Any) -> Any:
    if isinstance(value, str):
        try:
            return date.fromisoformat(value) if len(value) == 10 else datetime.fromisoformat(value)
        except ValueError:
            return value
    return value


@register.filter
def in_zone(value: Any, zone: str) -> str:
    """`7 Mar 2026, 14:30` in a named zone."""
    found = _parsed(value)
    if not isinstance(found, datetime):
        return day(value)
    local = found.astimezone(ZoneInfo(zone))
    return f"{day_words(local.date())}, {local:%H:%M}"


@register.filter
def number(value: Any) -> str:
    """A number as people write it."""
    try:
        return figure_words(Decimal(str(value)))
    except InvalidOperation:
        return str(value)


@register.filter
def plain(word: Any) -> str:
    """A word of ours without its underscores."""
    return str(word).replace("_", " ")


STRENGTH = {
    "established": "lab says", "screened": "screen says", "plate": "plate says", "presumed": "treat as",
    "undetermined": "not known:",
}  # fmt: skip
"""How strongly something is known, in words; weakest last."""


@register.filter
def strength(basis: str) -> str:
    """How strongly a class is known."""
    return STRENGTH.get(basis, basis)


BASIS = {"read": "read in the source", "memory": "from memory, not read", "judgement": "our judgement"}


@register.filter
def how_known(basis: str) -> str:
    """How we know a reason."""
    return BASIS.get(basis, basis)

"""What templates ask of drums and bays: codes by their keys, and where the oil of a unit went."""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django import template

from disposal.models import Bay, Drum
from disposal.queries.drums import drums_of
from disposal.queries.stands import bay_of_unit
from hazmat.core.unitnow import UnitNow

register = template.Library()
REMEMBERED = 4096
"""How many codes are remembered; a code or name that was once written never changes. Source: our own choice."""


@register.filter
@lru_cache(maxsize=REMEMBERED)
def drum_code(drum: str) -> str:
    """The code of a drum, by its key."""
    return Drum.objects.values_list("code", flat=True).get(pk=drum)


@register.filter
@lru_cache(maxsize=REMEMBERED)
def bay_name(bay: str) -> str:
    """What a bay was called by the record of this key."""
    return Bay.objects.values_list("name", flat=True).get(pk=bay)


@register.filter
def as_query(asked: Mapping[str, str] | None) -> str:
    """What a sum was asked, as the query of its page."""
    return urlencode(asked or {})


@register.simple_tag
def drums_with(unit: str) -> list[Any]:
    """The drums that hold oil of a unit, or ever did."""
    return drums_of(UUID(unit))


@register.simple_tag
def bay_of(unit: UnitNow) -> str:
    """The bay in which a unit stands, empty where in none."""
    return bay_of_unit(unit)

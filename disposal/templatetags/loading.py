"""Words of loads, and what the records of an entry name, as pages show them."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django import template

from disposal.core import loadnow
from disposal.models import Item, Load, PaperOf
from disposal.queries.drums import DRUMS
from disposal.queries.loads import LOADS
from disposal.queries.papers import outdated_label, outdated_sheet
from disposal.templatetags.drums import drum_code
from hazmat.core.codes import spaced
from hazmat.models import Paper, Unit
from hazmat.queries.units import UNITS

register = template.Library()


@register.filter
def load_words(state: loadnow.LoadState) -> str:
    """How a load stands."""
    return loadnow.STATES[state]


@register.filter
def ink_words(inked: loadnow.Inked) -> str:
    """How somebody signed."""
    return loadnow.INKS[inked]


@register.filter
def party_words(party: loadnow.Party) -> str:
    """Who signs."""
    return loadnow.PARTIES[party]


@register.filter
def arrived_words(arrival: loadnow.Arrival) -> str:
    """What the facility said of an item."""
    return loadnow.ARRIVED[arrival]


@register.simple_tag
def code_in(image: Mapping[str, Any]) -> str:
    """The code of the drum, or the tag of the unit, that the image of a record names; of a lot, how many it is."""
    if "drum" in image:
        return spaced(drum_code(image["drum"]))
    unit = UNITS.kept(UUID(image["unit"]))
    if unit is None:
        return spaced(Unit.objects.values_list("tag", flat=True).get(pk=image["unit"]))
    count = int(str(unit.line.get("count") or 1))
    return f"{spaced(unit.tag)} ({count} alike)" if count > 1 else spaced(unit.tag)


@register.simple_tag
def code_of_item(item: str) -> str:
    """The code of the drum or the unit that an item of a load is."""
    one = Item.objects.get(pk=item)
    return code_in({"drum": str(one.drum_id)} if one.drum_id else {"unit": str(one.unit_id)})


@register.simple_tag
def outdated_of(paper: Paper, yard: Mapping[str, Any]) -> bool:
    """Whether a paper of a drum or a load no longer says what holds."""
    of = PaperOf.objects.get(paper=paper)
    drum = DRUMS.kept(of.drum_id) if of.drum_id else None
    load = LOADS.kept(of.load_id) if of.load_id else None
    found = [*(outdated_label(drum) if drum else ()), *(outdated_sheet(load, yard) if load else ())]
    return str(paper.pk) in [one.id for one in found]


@register.simple_tag
def load_in(image: Mapping[str, Any]) -> str:
    """The number of the load that the image of a record names."""
    return str(Load.objects.values_list("number", flat=True).get(pk=image["load"]))

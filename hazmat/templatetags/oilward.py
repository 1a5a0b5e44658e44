"""The inked ring, codes, days, numbers and standing words as pages show them."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import cache, lru_cache
from typing import Any

import msgspec
from django import template
from django.utils import timezone
from django.utils.safestring import SafeString

from hazmat import rulebooks
from hazmat.core import codes, parts, tools, trail, walked
from hazmat.core.findings import finish
from hazmat.core.measures import day_words, moment_words
from hazmat.core.spillnow import read_step
from hazmat.core.telling import HOW_KNOWN, kind_word, plain, test, test_rest
from hazmat.edge import conditions
from hazmat.edge.places import called
from hazmat.models import Bottle, Tool, Unit
from hazmat.papers import spill
from hazmat.papers.gearmarks import mark_image, mark_svg
from hazmat.papers.holds import ANEW
from hazmat.papers.marks import ring_svg
from hazmat.rulebooks.sumbook import sums

register = template.Library()
REMEMBERED = 4096
"""How many codes are remembered; a code that was once written never changes. Source: our own choice."""


class Reason(msgspec.Struct):
    """A reason by its key."""

    key: str


class Answer(msgspec.Struct, rename={"klass": "class"}):
    """What a line of a list tells of an answer."""

    rulebook: str | None = None
    klass: str = "undetermined"
    basis: str = "undetermined"
    band: str = "unknown"
    care: str = "ge500"
    because: tuple[Reason, ...] = ()


class Kept(msgspec.Struct):
    """A kept standing, read no further than a line of a list needs."""

    answer: Answer


_kept = msgspec.json.Decoder(Kept).decode


@register.simple_tag
def ring(answer: Mapping[str, Any], name: str = "hatch") -> SafeString:
    """The ring of an answer: its safety band, solid where a laboratory result stands."""
    return ring_svg(answer.get("band", "unknown"), answer.get("basis") == "established", name)


@register.simple_tag
def gear_mark(name: str) -> SafeString:
    """A picture of gear as pages draw it."""
    return mark_svg(name)


@register.simple_tag
def gear_picture(name: str) -> dict[str, str]:
    """The same for a paper: its data address, and what it shows."""
    return mark_image(name)


@register.simple_tag
def line_of(row: Any) -> dict[str, Any]:
    """What a line of the list of units shows, in the words and with the ring of the unit's own page."""
    answer = _kept(row.body).answer
    ring = ring_svg(answer.band, answer.basis == "established", f"hatch-{row.tag}")
    first = answer.because[0].key if answer.because else ""
    strength, hands = _words(answer.rulebook, answer.klass, answer.basis, answer.care, first)
    return {"ring": ring, "strength": strength, "hands": hands}


@cache
def _words(rulebook: str | None, klass: str, basis: str, care: str, first: str) -> tuple[str, str]:
    law = rulebooks.law(rulebook)
    answer = {"class": klass, "basis": basis, "care": care, "because": [{"key": first}]}
    house = rulebooks.rulebook(rulebooks.HANDLING)
    return parts.strength(answer, law, house), parts.hands(answer, law, house)


@register.simple_tag
def house(name: str) -> str:
    """A sentence of the handling book, such as the caution that stands on each page."""
    return rulebooks.said(name)


@register.simple_tag
def anew() -> str:
    """What is said of a paper that no longer says what holds."""
    return ANEW


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
    return moment_words(_local(found))


def _local(found: datetime) -> datetime:
    return timezone.localtime(found) if timezone.is_aware(found) else found


def _parsed(value: Any) -> Any:
    if isinstance(value, str):
        try:
            return date.fromisoformat(value) if len(value) == 10 else datetime.fromisoformat(value)
        except ValueError:
            return value
    return value


register.filter("plain", plain)
register.filter("place_called", called)
register.filter("kind_word", kind_word)
register.filter("test_words", test)
register.filter("test_rest", test_rest)
register.filter("condition_words", conditions.line_of)


@register.filter
def bottle_words(state: trail.BottleState) -> str:
    """How a bottle stands."""
    return trail.WORDS[state]


@register.filter
def tool_kind(kind: tools.Kind) -> str:
    """What a kind of sampling gear is called."""
    return tools.WORDS[kind]


@register.filter
@lru_cache(maxsize=REMEMBERED)
def tool_code(tool: str) -> str:
    """The code of sampling gear, by its key."""
    return Tool.objects.values_list("code", flat=True).get(pk=tool)


@register.filter
@lru_cache(maxsize=REMEMBERED)
def bottle_code(bottle: str) -> str:
    """The code of a bottle, by its key."""
    return Bottle.objects.values_list("code", flat=True).get(pk=bottle)


@register.filter
def found_words(seen: Mapping[str, str]) -> str:
    """What a walk round a unit found, as one list; empty for nothing."""
    return ", ".join(walked.WORDS[key] for key, answer in sorted(seen.items()) if answer == "yes")


@register.filter
@lru_cache(maxsize=REMEMBERED)
def tag_of(unit: str) -> str:
    """The tag of a unit, by its key."""
    return Unit.objects.values_list("tag", flat=True).get(pk=unit)


register.filter("step_words", spill.step_words)


@register.filter
def step_image(image: Mapping[str, Any]) -> str:
    """A step of a cleanup in words, as its entry holds it."""
    return spill.step_words(read_step(image["what"], image.get("told", {}), image.get("note", "")))


@register.simple_tag
def first_of_spill() -> str:
    """What comes first once something is spilled."""
    rules = rulebooks.rulebook(rulebooks.HANDLING).spills
    return next(finish(one.says, {}) for one in rules if one.kind == "now")


@register.filter
def edition(written: Any) -> str:
    """An edition with its content, `25 Nov 2026 (51a414568e)`."""
    on, _, content = str(written).partition(".")
    return f"{day(on)} ({content})" if content else day(on)


@register.filter
def without(tasks: Iterable[Mapping[str, str]], says: str) -> list[Mapping[str, str]]:
    """Tasks less the one that was told already."""
    return [task for task in tasks if task["says"] != says]


@register.filter
def sentence(says: str) -> str:
    """A sentence of a rulebook without slots, closed with its full stop."""
    return finish(says, {})


@register.filter
def how_known(basis: str) -> str:
    """How we know a reason."""
    return HOW_KNOWN.get(basis, basis)


@register.filter
def method_words(method: str) -> str:
    """A method of a breakdown test as its sum calls it."""
    box = next(box for box in sums()["breakdown"].boxes if box.key == "method")
    return box.words.get(method, method)

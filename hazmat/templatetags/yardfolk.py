"""Words about people, their training and their jobs, for templates."""

from collections.abc import Mapping
from functools import cache, lru_cache

from django import template

from hazmat import rulebooks
from hazmat.core import training
from hazmat.core.codes import spaced
from hazmat.models import Crew, Person, SignIn

register = template.Library()
REMEMBERED = 1024
"""How many names and jobs are remembered; what is on record under a key never changes. Source: our own choice."""
MAY_WORDS: Mapping[training.Word, str] = {"yes": "Yes", "let": "Yes, let through today", "no": "No"}


@register.filter
@lru_cache(maxsize=REMEMBERED)
def person_called(person: str) -> str:
    """What somebody is called, by key."""
    return Person.objects.values_list("called", flat=True).get(pk=person)


@register.filter
def training_name(kind: str) -> str:
    """What a kind of training is called, without a capital at its beginning."""
    name = _names().get(kind, kind)
    return name[:1].lower() + name[1:]


@cache
def _names() -> dict[str, str]:
    return {one.key: one.name for one in training.kinds(rulebooks.rulebook(rulebooks.HANDLING))}


@register.filter
def work_words(work: str) -> str:
    """What a piece of work is called, without a capital at its beginning."""
    name = training.WORDS.get(work, work)
    return name[:1].lower() + name[1:]


@register.filter
def may_words(word: training.Word) -> str:
    """Whether somebody may, in a word or a few."""
    return MAY_WORDS[word]


@register.filter
@lru_cache(maxsize=REMEMBERED)
def job_words(crew: str) -> str:
    """A job by key: `draw a sample, unit K7M 4PX`."""
    work, tag = Crew.objects.values_list("work", "unit__tag").get(pk=crew)
    return f"{work_words(work)}, unit {spaced(tag)}"


@register.filter
@lru_cache(maxsize=REMEMBERED)
def job_left(signed_in: str) -> str:
    """The job that somebody left, by the key of the signing in."""
    return job_words(str(SignIn.objects.values_list("crew", flat=True).get(pk=signed_in)))


@register.filter
def word_of(words: Mapping[str, str], key: str) -> str:
    """The word under a key, empty where there is none."""
    return words.get(key, "")

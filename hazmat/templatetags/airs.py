"""Small words for limits in air."""

from decimal import Context

from django import template

from hazmat.core.air import Against, LimitNow
from hazmat.core.measures import figure_words
from hazmat.core.telling import HOW_KNOWN
from hazmat.edge.air import value_of
from hazmat.rulebooks.airbook import air_book

register = template.Library()
TWO = Context(prec=2)
"""How finely a share of a limit is told. Source: our own choice."""
MINUTES = 60
"""Minutes in an hour. Source: definition."""
AT_ANY = {"danger": "danger at once, at any moment", "ceiling": "never to be passed"}
UNBORN = "unborn"


@register.filter
def where(now: LimitNow) -> str:
    """The country or area of a limit by its name."""
    return air_book().places[now.limit.place]


@register.filter
def value(now: LimitNow) -> str:
    """A limit as it was published: `5 ppm`."""
    return value_of(now)


@register.filter
def mean(now: LimitNow) -> str:
    """Over how long it is a mean, or that it is none: `mean over 8 hours`."""
    minutes = now.limit.minutes
    if not minutes:
        return AT_ANY[now.limit.kind]
    time = f"{minutes} minutes" if minutes < MINUTES else f"{minutes // MINUTES} hours"
    return f"for the unborn, mean over {time}" if now.limit.kind == UNBORN else f"mean over {time}"


@register.filter
def how(now: LimitNow) -> str:
    """Whether it binds there and how we know it: `law, from memory, not read`."""
    return f"{'law' if now.limit.law else 'advice'}, {HOW_KNOWN[now.version.cite.basis]}"


@register.filter
def times(one: Against) -> str:
    """How many times a limit: `58 % of it` below it, `15 times it` from it up."""
    if one.stands == "over":
        return f"{figure_words(TWO.plus(one.times))} times it"
    return f"{figure_words(TWO.plus(one.times * 100))} % of it"


@register.filter
def stands(one: Against) -> str:
    """How a level that was measured stands to a limit, in words."""
    if one.stands == "not_judged":
        return "not judged: it is a mean over another time"
    return f"over it, {times(one)}" if one.stands == "over" else f"not over it: {times(one)}"

"""Gear cards of a drum: to handle it, and to hand it over closed."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from disposal.views.drums import the_drum, words_of
from hazmat import rulebooks
from hazmat.core.gearcard import card
from hazmat.edge.gear import work_of
from hazmat.forms.gear import CardForm
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page
from hazmat.views.gear import told


@require_GET
@in_yard("see")
def drum_gear(request: HttpRequest, here: Standing, drum: str) -> HttpResponse:
    """What is worn to handle a drum, by the care of the worst oil in it."""
    return _card(request, here, drum, "drums")


@require_GET
@in_yard("see")
def drum_gear_over(request: HttpRequest, here: Standing, drum: str) -> HttpResponse:
    """What is worn to hand a drum over."""
    return _card(request, here, drum, "hand_over")


def _card(request: HttpRequest, here: Standing, code: str, task: str) -> HttpResponse:
    """One card; the answers in the address change it, and nothing is kept."""
    now = the_drum(here, code)
    house = rulebooks.house(timezone.localdate(timezone=here.zone))
    form = CardForm(request.GET or None, house=house)
    answers = form.answers()
    work = work_of(answers.said, answers.air, here.facts, shown=now.known == "low")
    found = card(house, task, now.care, work)
    return page(
        request, here, "disposal/drum_gear.html", drum=now, words=words_of(now), form=form, **told(found, form, house)
    )

"""The official number of a load, which can be typed until the load closes."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from disposal.actions.loads import number_load as write_number
from disposal.forms.loads import NumberForm
from disposal.views.loads import sent_before, the_load
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write


@require_http_methods(["GET", "POST"])
@in_yard("number_load")
def number_load(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Write down the official number of a load, or mend it."""
    now = the_load(here, load)
    if sent_before(request, here):
        return redirect("load", yard=here.yard.code, load=load)
    form = NumberForm(request.POST or None, zone=here.zone, initial={"official": now.official})
    if write(
        request,
        here,
        form,
        lambda asked: write_number(asked, load=UUID(now.load), official=form.cleaned_data["official"]),
    ):
        return redirect("load", yard=here.yard.code, load=load)
    act = token_in(request, here)
    return page(request, here, "disposal/number_load.html", load=now, form=form, act=act)

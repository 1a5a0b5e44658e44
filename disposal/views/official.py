"""The official number of a load, which can be typed until the load closes."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from disposal.actions.loads import number_load as write_number
from disposal.forms.loads import NumberForm
from disposal.views.loads import sent_before, the_load
from hazmat.book.act import Refused
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, order, page, token_in
from hazmat.views.saved import saved


@require_http_methods(["GET", "POST"])
@in_yard("number_load")
def number_load(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Write down the official number of a load, or mend it."""
    now = the_load(here, load)
    if sent_before(request, here):
        return redirect("load", yard=here.yard.code, load=load)
    form = NumberForm(request.POST or None, zone=here.zone, initial={"official": now.official})
    if request.method == "POST" and form.is_valid():
        try:
            asked = order(request, here, form.happened_at())
            receipt = write_number(asked, load=UUID(now.load), official=form.cleaned_data["official"])
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            saved(request, here, receipt)
            return redirect("load", yard=here.yard.code, load=load)
    status = 422 if request.method == "POST" else 200
    act = token_in(request, here)
    return page(request, here, "disposal/number_load.html", status, load=now, form=form, act=act)

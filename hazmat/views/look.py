"""Look: one page about one unit, at the gate or where it stands; one form, one act."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.forms.look import LookForm
from hazmat.models import Unit
from hazmat.queries.yards import Standing
from hazmat.views.access import act_in, in_yard, order, page, token_in
from hazmat.views.saved import saved
from hazmat.views.waiting import wait_with, written


@require_http_methods(["GET", "POST"])
@in_yard("log_unit")
def look(request: HttpRequest, here: Standing) -> HttpResponse:
    """The page and its one act. What cannot be written yet is kept: text in the page, pictures beside the book."""
    token = token_in(request, here)
    if request.method == "GET":
        form = LookForm(initial={"act": token}, here=here.facts)
        return page(request, here, "hazmat/look.html", form=form)
    filled_in = request.POST.copy()
    filled_in["act"] = token
    form = LookForm(filled_in, request.FILES, here=here.facts)
    found, wrong = wait_with(act_in(token), request.FILES)
    for says in wrong:
        form.add_error(None, says)
    try:
        if form.is_valid():
            seen = form.look()
            receipt = log_unit(
                order(request, here, seen.happened_at), look=seen, place=here.named.place, pictures=found, tag=seen.tag
            )
            written(act_in(token))
            tag = Unit.objects.values_list("tag", flat=True).get(pk=receipt.the("hazmat.unit"))
            saved(request, here, receipt)
            return redirect("unit", yard=here.yard.code, tag=tag)
    except Refused as refusal:
        form.add_error(None, str(refusal))
    return page(request, here, "hazmat/look.html", 422, form=form, waiting=found)

"""Look: one page about one unit, at the gate or where it stands; one form, one act."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.forms.look import LookForm
from hazmat.models import Unit
from hazmat.queries.yards import Standing
from hazmat.views.access import act_of, in_yard, new_token, order, page
from hazmat.views.waiting import wait_with, waiting, written


@require_http_methods(["GET", "POST"])
@in_yard("log_unit")
def look(request: HttpRequest, here: Standing) -> HttpResponse:
    """The page and its one act. What cannot be written yet is kept: text in the page, pictures beside the book."""
    if request.method == "GET":
        token = new_token(here)
        return page(
            request, here, "hazmat/look.html", form=LookForm(initial={"act": token}, here=here.facts), act=token
        )
    form = LookForm(request.POST, request.FILES, here=here.facts)
    pictures: list[object] = []
    try:
        act = act_of(request, here)
        found, wrong = wait_with(act, request.FILES)
        pictures = list(found)
        for says in wrong:
            form.add_error(None, says)
        if form.is_valid():
            filled = form.look()
            receipt = log_unit(
                order(request, here, filled.happened_at), look=filled, place=here.named.place, pictures=found,
                tag=filled.tag,
            )  # fmt: skip
            written(act)
            tag = Unit.objects.values_list("tag", flat=True).get(pk=receipt.the("hazmat.unit"))
            messages.success(request, f"Saved as entry {receipt.seq}.")
            return redirect("unit", yard=here.yard.code, tag=tag)
    except Refused as refusal:
        form.add_error(None, str(refusal))
        if "belongs to another" in str(refusal):
            form.data = request.POST.copy()
            form.data["act"] = new_token(here)
    return page(
        request, here, "hazmat/look.html", 422, form=form, act=form.data.get("act"), waiting=pictures,
    )  # fmt: skip


__all__ = ["look", "waiting"]

"""How a yard works: the page on which its manager says so."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.yards import second_person
from hazmat.actions.yards import set_yard as write_yard
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.forms.yards import YardForm
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write


@require_http_methods(["GET", "POST"])
@in_yard("set_yard")
def set_yard(request: HttpRequest, here: Standing) -> HttpResponse:
    """Write down how the yard works."""
    facts = here.facts
    initial = {name: facts[name] for name in ("name", "phone", "keeps", "stores", "two", "guard", "air")}
    form = YardForm(request.POST or None, initial={**initial, "based_on": here.named.pk})

    def change(asked: Order) -> Receipt:
        told = dict(form.cleaned_data)
        return write_yard(asked, based_on=told.pop("based_on") or here.named.pk, **told)

    if write(request, here, form, change, "The old words stay in the day-book."):
        return redirect("keeping", yard=here.yard.code)
    return page(
        request, here, "hazmat/set_yard.html", form=form,
        act=token_in(request, here), alone=not second_person(here.yard.pk),
    )  # fmt: skip

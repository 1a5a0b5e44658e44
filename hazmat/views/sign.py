"""Signing in and out, and the door that a link opens once."""

from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hazmat.actions.people import behind, walk_through
from hazmat.forms.sign import SignInForm
from hazmat.queries.yards import yards_of

BACKEND = "django.contrib.auth.backends.ModelBackend"


@require_GET
@never_cache
def home(request: HttpRequest) -> HttpResponse:
    """The only yard of this person, or the list of them."""
    if not request.user.is_authenticated:
        return redirect("sign_in")
    yards = yards_of(request.user.pk)
    if len(yards) == 1:
        return redirect("next", yard=yards[0].yard.code)
    return render(request, "hazmat/home.html", {"yards": yards, "person": request.user})


@require_http_methods(["GET", "POST"])
@never_cache
def sign_in(request: HttpRequest) -> HttpResponse:
    """Sign in by name and password, for those who chose one; the others use a link."""
    form = SignInForm(request, request.POST or None)
    onward = _onward(request)
    if request.method == "POST" and form.is_valid():
        login(request, form.get_user())
        return redirect(onward)
    return render(request, "hazmat/sign_in.html", {"form": form, "onward": onward})


@require_http_methods(["GET", "POST"])
@never_cache
def door(request: HttpRequest, secret: str) -> HttpResponse:
    """A link that signs one person in, once. Looking at it uses nothing up; the button does."""
    person = behind(secret) if request.method == "GET" else walk_through(secret)
    if person is None:
        return render(request, "hazmat/door.html", status=410)
    if request.method == "GET":
        return render(request, "hazmat/door.html", {"called": person.called, "yards": yards_of(person.pk)})
    login(request, person, backend=BACKEND)
    return redirect("home")


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sign out on this device."""
    logout(request)
    return redirect("sign_in")


def _onward(request: HttpRequest) -> str:
    """Where to go after signing in: a page of ours only."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    if url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()):
        return wanted
    return reverse("home")

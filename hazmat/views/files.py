"""Pictures and reports, served through rights and never straight from a folder."""

from uuid import UUID

from django.http import FileResponse, Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.views.decorators.http import require_GET

from hazmat.book import files
from hazmat.core.reported import SENT_AS
from hazmat.models import Photograph, Result
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard

SIZES = {"full": "sha256", "thumb": "thumb"}


@require_GET
@in_yard("see")
def photograph(request: HttpRequest, here: Standing, picture: UUID, size: str) -> HttpResponseBase:
    """One picture of this yard, whole or small."""
    found = Photograph.objects.filter(pk=picture, yard=here.yard.pk).first()
    if found is None or size not in SIZES:
        raise Http404
    return sent(getattr(found, SIZES[size]), "image/jpeg", f"{found.shows}.jpg")


@require_GET
@in_yard("see_private")
def report(request: HttpRequest, here: Standing, result: UUID) -> HttpResponseBase:
    """The report of a result of this yard, to be saved; names stand in it, so it is for members only."""
    found = Result.objects.select_related("unit").filter(pk=result, yard=here.yard.pk).first()
    if found is None or found.report_kind not in SENT_AS:
        raise Http404
    media, ending = SENT_AS[found.report_kind]
    name = f"report-{found.unit.tag}-{found.reported_on}.{ending}"
    return sent(found.report, media, name, saved=found.report_kind == "pdf")


def sent(digest: str, media: str, name: str, saved: bool = False) -> HttpResponseBase:
    """A kept file as an answer; `saved`: it is never opened in the page. Raises Http404 where it is not there."""
    path = files.path_of(digest)
    if not path.is_file():
        raise Http404
    return FileResponse(path.open("rb"), content_type=media, filename=name, as_attachment=saved)

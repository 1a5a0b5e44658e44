"""Pictures, served through rights and never straight from a folder."""

from uuid import UUID

from django.http import FileResponse, Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.views.decorators.http import require_GET

from hazmat.book import files
from hazmat.models import Photograph
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


def sent(digest: str, media: str, name: str) -> HttpResponseBase:
    """A kept file as an answer. Raises Http404 where it is not there."""
    path = files.path_of(digest)
    if not path.is_file():
        raise Http404
    return FileResponse(path.open("rb"), content_type=media, filename=name)

"""Pictures and reports of a form that could not be written yet: looked into, kept as files, named under its act."""

import contextlib
import json
import time
from dataclasses import asdict
from pathlib import Path
from typing import Any, get_args
from uuid import UUID

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.utils.datastructures import MultiValueDict

from hazmat.actions.results import keep_report
from hazmat.actions.units import Kept, keep_picture
from hazmat.book.files import put_whole
from hazmat.core.reported import KeptReport
from hazmat.core.unitnow import Shows
from hazmat.edge.pictures import BadPicture, read_picture
from hazmat.edge.reports import BadReport, read_report

SHOWS: tuple[str, ...] = get_args(Shows)
"""What a picture may show, as its field is named."""
MOST = 24
"""How many pictures one form may carry. Source: our own choice."""
REPORT = "report"
"""The field of a report; every other file is a picture."""
LONGEST_NAME = 80
"""Characters of the name of a report that are shown again. Source: our own choice."""
KEPT = 7 * 24 * 60 * 60
"""Seconds that a list is kept which nobody came back for. Source: our own choice."""


def place() -> Path:
    """Where the lists of waiting pictures lie."""
    return Path(settings.OILWARD_BOOK) / "waiting"


def waiting(act: UUID) -> list[Kept]:
    """The pictures that wait for this act."""
    try:
        return [Kept(**one) for one in json.loads((place() / f"{act}.json").read_text(encoding="utf-8"))]
    except (FileNotFoundError, ValueError, TypeError):
        return []


def wait_with(act: UUID, uploads: "MultiValueDict[str, UploadedFile]") -> tuple[list[Kept], list[str]]:
    """Read and keep the pictures of a form beside those that wait for its act; all of them, and what is wrong."""
    found, wrong = waiting(act), []
    known = {one.sha256 for one in found}
    for field, sent in uploads.lists():
        for upload in sent if field != REPORT else ():
            if len(found) >= MOST:
                wrong.append(f"More than {MOST} pictures came; the rest was left out, add them from the unit's page.")
                break
            try:
                kept = read_upload(upload, field)
            except BadPicture as bad:
                wrong.append(f"{upload.name}: {bad}")
                continue
            if kept.sha256 not in known:
                known.add(kept.sha256)
                found.append(kept)
    if found:
        _write(act, [asdict(one) for one in found])
    return found, wrong


def waiting_report(act: UUID) -> KeptReport | None:
    """The report that waits for this act."""
    try:
        return KeptReport(**json.loads((place() / f"{act}.{REPORT}.json").read_text(encoding="utf-8")))
    except (FileNotFoundError, ValueError, TypeError):
        return None


def report_with(act: UUID, uploads: "MultiValueDict[str, UploadedFile]") -> tuple[KeptReport | None, str]:
    """Look into the report of a form and keep it, else the one that waits for its act; and what is wrong with it."""
    upload = uploads.get(REPORT)
    if upload is None:
        return waiting_report(act), ""
    path = getattr(upload, "temporary_file_path", None)
    try:
        found = keep_report(read_report(Path(path()) if path else upload.read()), str(upload.name)[:LONGEST_NAME])
    except BadReport as bad:
        return waiting_report(act), str(bad)
    _write(act, asdict(found), f".{REPORT}")
    return found, ""


def read_upload(upload: UploadedFile, field: str) -> Kept:
    """Read one picture, strip it and keep its files. Raises BadPicture with a sentence."""
    path = getattr(upload, "temporary_file_path", None)
    picture = read_picture(Path(path()) if path else upload.read())
    return keep_picture(picture, next((word for word in SHOWS if word in field), "other"))


def _write(act: UUID, told: Any, of: str = "") -> None:
    put_whole(place() / f"{act}{of}.json", json.dumps(told).encode())


def written(act: UUID) -> None:
    """Forget what waits for an act that stands in the book, and lists that nobody came back for."""
    limit = time.time() - KEPT
    for file in place().glob("*.json"):
        with contextlib.suppress(FileNotFoundError):
            if file.name.partition(".")[0] == str(act) or file.stat().st_mtime < limit:
                file.unlink()

"""What poppler reads in a PDF."""

import subprocess

from tests.papers.conftest import tool


def text_of(printed: bytes, *more: str) -> str:
    """The words of a PDF, white space folded; as laid out, where nothing else is asked for."""
    asked = [tool("pdftotext", "poppler-utils"), *(more or ("-layout",)), "-", "-"]
    return " ".join(subprocess.run(asked, input=printed, capture_output=True, check=True).stdout.decode().split())

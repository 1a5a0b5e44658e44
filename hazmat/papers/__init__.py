"""What each paper says, and how it is printed."""

from hazmat.papers.build import payload
from hazmat.papers.frame import Made, code
from hazmat.papers.render import CannotPrint, html, minimal, pdf

__all__ = ["CannotPrint", "Made", "code", "html", "minimal", "payload", "pdf"]

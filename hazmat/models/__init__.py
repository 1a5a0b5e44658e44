"""The tables, one noun a file."""

from hazmat.models.edition import Edition
from hazmat.models.person import Person

__all__ = ["Edition", "Person"]

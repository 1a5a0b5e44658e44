"""Proving a large book against loading and hashing the same bytes."""

import json
from hashlib import sha256

from hazmat.bench.seeded import fill, seeded_yard
from hazmat.book.entry import Entry
from hazmat.book.prove import prove as proved
from hazmat.edge.bench import Measured, measured


def prove(n: int) -> Measured:
    """All that `manage.py prove` does in a book of n units, against JSON load and SHA-256 of the same entries.

    The book has no pictures and no papers: their bytes are hashed once each, and nothing else would do.
    """
    yard, person = seeded_yard()
    fill(yard, person, n)
    bodies = list(Entry.objects.order_by("seq").values_list("body", flat=True))

    def floor() -> None:
        for body in bodies:
            json.loads(body)
            sha256(body.encode()).hexdigest()

    def ours() -> None:
        proof = proved()
        if proof.faults or proof.standings != n:
            raise RuntimeError(f"{proof.faults[:1]}, {proof.standings} standings")

    return measured("prove", n, 3.0, floor, ours)

"""Proving a large book against loading and hashing the same bytes."""

import json
from hashlib import sha256

from hazmat.bench.seeded import fill, seeded_yard
from hazmat.book.entry import Entry
from hazmat.book.prove import prove_yard
from hazmat.edge.bench import Measured, measured


def prove(n: int) -> Measured:
    """Chain, images against rows and standings of n entries, against JSON load and SHA-256 of the same bodies."""
    yard, person = seeded_yard()
    fill(yard, person, n)
    bodies = list(Entry.objects.order_by("seq").values_list("body", flat=True))

    def floor() -> None:
        for body in bodies:
            json.loads(body)
            sha256(body.encode()).hexdigest()

    def ours() -> None:
        wrong = list(prove_yard(yard))
        if wrong:
            raise RuntimeError(str(wrong[0]))

    return measured("prove", n, 3.0, floor, ours)

"""Judging every stored unit again against the raw driver reading the same rows and decoding them."""

import json

from django.db import connection

from hazmat.actions.rejudging import rejudge
from hazmat.bench.seeded import fill, seeded_yard
from hazmat.edge.bench import Measured, measured
from hazmat.models import Particulars, UnitStanding


def reassess(n: int) -> Measured:
    """All that `manage.py reassess --look` does with n units under the law that they were judged by.

    The floor reads the standing of each by the driver and decodes it from JSON, and judges nothing.
    """
    yard, person = seeded_yard()
    fill(yard, person, n)
    named = Particulars.objects.select_related("yard").get(yard=yard, replaced_by=None)
    table = UnitStanding._meta.db_table

    def floor() -> None:
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT body FROM {table} ORDER BY unit")
            for (body,) in cursor:
                json.loads(body)

    def ours() -> None:
        seen: list[int] = [0]
        for one in rejudge(named, person.pk, False, seen.append):
            if one.wrong:
                raise RuntimeError(one.wrong)
        if seen[-1] != n:
            raise RuntimeError(f"{seen[-1]} of {n} units were judged")

    return measured("reassess", n, 1.3, floor, ours)

"""Pages through the real web server: a unit's page and the list, against a signed-in page that says nothing."""

import http.client
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import cycle
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore

from hazmat.bench.seeded import fill, seeded_yard
from hazmat.core.sums.frame import Sum
from hazmat.core.wear import TASKS
from hazmat.edge.bench import Measured, measured
from hazmat.models import Person, UnitStanding, Yard
from hazmat.rulebooks.sumbook import sums
from hazmat.views.sign import BACKEND

REQUESTS = 60
"""Requests of one round."""
PATIENCE = 30


def unit_page(n: int) -> Measured:
    """The page of one unit in a yard of n units."""
    with served(n) as (port, cookie, yard, _):
        tags = list(UnitStanding.objects.order_by("search")[:REQUESTS].values_list("tag", flat=True))
        pages = [f"/{yard.code}/units/{tag}/" for tag in tags]
        return against_empty("unit_page", n, 8.0, port, cookie, yard, pages)


def gear_card(n: int) -> Measured:
    """The gear card of one unit and one task, in a yard of n units."""
    with served(n) as (port, cookie, yard, _):
        tags = list(UnitStanding.objects.order_by("search")[:REQUESTS].values_list("tag", flat=True))
        pages = [f"/{yard.code}/units/{tag}/gear/{task}/" for tag, task in zip(tags, cycle(TASKS), strict=False)]
        return against_empty("gear_card", n, 8.0, port, cookie, yard, pages)


def unit_list(n: int) -> Measured:
    """A page of 50 units, by key, of a yard of n units."""
    with served(n) as (port, cookie, yard, _):
        step = max(1, n // REQUESTS)
        pages = [f"/{yard.code}/units/?below={below}" for below in range(60, n + 60, step)][:REQUESTS]
        return against_empty("unit_list", n, 9.0, port, cookie, yard, pages)


def sum_page(n: int) -> Measured:
    """The page of each named calculation, worked out from the first case that it shows, in a yard of n units."""
    with served(n) as (port, cookie, yard, _):
        pages = [f"/{yard.code}/sums/{name}/?{_typed(one)}" for name, one in sums().items()]
        return against_empty("sum_page", n, 2.0, port, cookie, yard, pages)


def _typed(asked: Sum) -> str:
    """The first case of a sum as an address carries it."""
    given = asked.checks[0].give
    return urlencode({key: " ".join(map(str, one)) if isinstance(one, list) else one for key, one in given.items()})


def against_empty(name: str, n: int, goal: float, port: int, cookie: str, yard: Yard, pages: list[str]) -> Measured:
    """These pages asked for, against an empty page of the same yard as often."""
    empty = [f"/{yard.code}/empty/"] * len(pages)
    found = measured(name, len(pages), goal, lambda: _ask(port, cookie, empty), lambda: _ask(port, cookie, pages))
    return Measured(**{**{key: getattr(found, key) for key in found.__slots__}, "n": n})


def _ask(port: int, cookie: str, pages: list[str]) -> None:
    for page in pages:
        asked = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        asked.request("GET", page, headers={"Cookie": cookie})
        answer = asked.getresponse()
        answer.read()
        asked.close()
        if answer.status != 200:
            raise RuntimeError(f"{page} answered {answer.status}")


@contextmanager
def served(n: int) -> Iterator[tuple[int, str, Yard, Person]]:
    """A filled yard served by the real web server with two processes: port, session cookie, yard, who is signed in."""
    yard, person = seeded_yard()
    fill(yard, person, n)
    cookie = f"{settings.SESSION_COOKIE_NAME}={_signed_in(person)}"
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port = found.getsockname()[1]
    words = ["-m", "gunicorn", "--no-control-socket", "-w2", f"-b127.0.0.1:{port}", "--log-level=error"]
    server = subprocess.Popen([sys.executable, *words, "hazmat.bench.wsgi"], env=dict(os.environ))
    try:
        _wait(port)
        yield port, cookie, yard, person
    finally:
        server.terminate()
        server.wait()


def _signed_in(person: Person) -> str:
    session = SessionStore()
    session[SESSION_KEY] = str(person.pk)
    session[BACKEND_SESSION_KEY] = BACKEND
    session[HASH_SESSION_KEY] = person.get_session_auth_hash()
    session.save()
    return str(session.session_key)


def _wait(port: int) -> None:
    begun = time.monotonic()
    while time.monotonic() - begun < PATIENCE:
        try:
            with socket.create_connection(("127.0.0.1", port), timeout=1):
                return
        except OSError:
            time.sleep(0.05)
    raise RuntimeError("the web server did not start")

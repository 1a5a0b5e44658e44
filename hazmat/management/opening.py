"""Making a book real: its tables, its first yard and person, and the link that lets that person in."""

import re
import unicodedata
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection
from django.utils import timezone

from hazmat import rulebooks
from hazmat.actions.people import new_door, open_yard
from hazmat.book.act import Order
from hazmat.book.ids import new_id
from hazmat.edge.places import COUNTRIES
from hazmat.management.verb import Refusal
from hazmat.models import Person, Yard
from hazmat.roles import LONE, Role

ZONES = Path("/usr/share/zoneinfo/zone1970.tab")
"""Which zones lie in which country, where the system has it. Source: IANA time zone database."""

HANDLE = 56
"""Letters of a name that are taken into a name to sign in by, which has room for 64. Source: our own choice."""


def make_tables() -> None:
    """Bring the database of the book in use up to date. Raises Refusal where it cannot be reached."""
    try:
        call_command("migrate", interactive=False, verbosity=0)
    except DatabaseError as error:
        raise _unusable(error) from None
    except OSError as error:
        why = (error.strerror or "it failed").lower()
        raise Refusal(
            f"the book cannot be made in {settings.OILWARD_BOOK}: {why}; let OILWARD_HOME name a folder that this "
            "user can write to"
        ) from None


def _unusable(error: DatabaseError) -> Refusal:
    return Refusal(f"the database of this book cannot be used: {' '.join(str(error).split())}")


def has_tables() -> bool:
    """Whether the book in use has ever been made. Looking makes no file. Raises Refusal where nobody can tell."""
    if connection.vendor == "sqlite" and not Path(connection.settings_dict["NAME"]).exists():
        return False
    try:
        return Yard._meta.db_table in connection.introspection.table_names()
    except DatabaseError as error:
        raise _unusable(error) from None


def a_country(written: str) -> str:
    """An ISO 3166 country code, however it was typed. Raises Refusal."""
    code = written.strip().upper()
    if code not in COUNTRIES:
        raise Refusal(f"“{written}” is no country code; two letters such as nz or us may stand there (ISO 3166)")
    return code


def a_state(written: str, country: str) -> str:
    """A subdivision of the country: `OR` and `US-OR` are one. Raises Refusal."""
    code = written.strip().upper()
    if not code:
        return ""
    full = code if code.startswith(f"{country}-") else f"{country}-{code}"
    if not re.fullmatch(r"[A-Z]{2}-[A-Z0-9]{1,3}", full, re.ASCII):
        raise Refusal(f"“{written}” is no part of {country}; a code such as {country}-OR may stand there (ISO 3166-2)")
    if wrong := rulebooks.unknown_state(full):
        raise Refusal(wrong)
    return full


def a_zone(written: str | None, country: str) -> str:
    """The zone of a yard: as given, else that of this machine, else the first one of the country. Raises Refusal."""
    if written:
        try:
            return ZoneInfo(written).key
        except (ValueError, OSError, KeyError):
            raise Refusal(f"“{written}” is no time zone; a name such as Pacific/Auckland may stand there") from None
    if settings.TIME_ZONE not in ("UTC", "Etc/UTC"):
        return settings.TIME_ZONE
    return next(iter(_zones(country)), "UTC")


def _zones(country: str) -> list[str]:
    try:
        rows = [line.split("\t") for line in ZONES.read_text(encoding="utf-8").splitlines() if line[:1] != "#"]
    except OSError:
        return []
    return [row[2] for row in rows if country in row[0].split(",")]


def a_handle(called: str) -> str:
    """A short name to sign in by, made of the first name, that nobody has yet."""
    plain = unicodedata.normalize("NFKD", called.split()[0]).encode("ascii", "ignore").decode()
    base = re.sub(r"[^a-z0-9]", "", plain.casefold())[:HANDLE] or "person"
    taken = set(Person.objects.filter(handle__startswith=base).values_list("handle", flat=True))
    return next(name for name in (base, *(f"{base}{n}" for n in range(2, len(taken) + 3))) if name not in taken)


def opened(name: str, country: str, state: str, zone: str, person: Person, **more: Any) -> UUID:
    """A yard with this person in it; its id. `more`: keeps, phone, roles."""
    order = Order(yard=new_id(), by=person.pk, act=new_id(), happened_at=timezone.now(), zone=zone)
    roles: tuple[Role, ...] = more.pop("roles", LONE)
    return open_yard(order, name=name, country=country, state=state, roles=roles, **more).yard


def door_path(person: Person) -> str:
    """The path of a fresh sign-in link."""
    return f"/door/{new_door(person)}/"

"""The invented firm of the demo: two yards and the people in them. Nobody here lives, and no place here is on a map."""

from dataclasses import dataclass

from hazmat.core.codes import check_char

FIRM = "Ketterling & Moa"


@dataclass(frozen=True, kw_only=True)
class DemoPerson:
    """Somebody of the demo. `handle`: to sign in by; `roles`: what they are in their yard."""

    handle: str
    called: str
    phone: str
    roles: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class DemoYard:
    """A yard of the demo: its facts as pages and papers name it, and its people, the manager first.

    `latitude`, `longitude`: about where pictures at its gate are taken, in the open sea, so that nobody lives there.
    """

    key: str
    name: str
    code: str
    country: str
    state: str
    zone: str
    phone: str
    keeps: str
    latitude: str
    longitude: str
    people: tuple[DemoPerson, ...]

    @property
    def manager(self) -> DemoPerson:
        """Who opens the yard."""
        return self.people[0]

    def who(self, role: str) -> DemoPerson:
        """The first person with this role. Raises StopIteration where nobody has it."""
        return next(person for person in self.people if role in person.roles)


COURIER, LABORATORY = "Thistledown Parcels", "Quillmoor Bench"
"""Who carries the bottles of the demo, and who looks into them: invented, as everybody else."""


def code(body: str) -> str:
    """Five characters with their check character."""
    return body + check_char(body)


NEW_ZEALAND = DemoYard(
    key="nz",
    name=f"{FIRM}, Wherry Street yard",
    code=code("WHERY"),
    country="NZ",
    state="",
    zone="Pacific/Auckland",
    phone="+64 0 000 0100",
    keeps="the steel cabinet in the yard office, Wherry Street",
    latitude="-38.500000",
    longitude="172.500000",
    people=(
        DemoPerson(handle="hinemoa", called="Hinemoa Fencewright", phone="+64 0 000 0101", roles=("manager",)),
        DemoPerson(handle="tamsin", called="Tamsin Quaich", phone="+64 0 000 0102", roles=("safety_officer",)),
        DemoPerson(handle="rangi", called="Rangi Ploverton", phone="+64 0 000 0103", roles=("technician",)),
        DemoPerson(handle="lio", called="Lio Saltgrass", phone="+64 0 000 0104", roles=("yard_hand",)),
        DemoPerson(handle="odette", called="Odette Larkenby", phone="+64 0 000 0105", roles=("visitor",)),
    ),
)
UNITED_STATES = DemoYard(
    key="us",
    name=f"{FIRM}, Sallow Creek yard",
    code=code("SALWC"),
    country="US",
    state="US-OR",
    zone="America/Los_Angeles",
    phone="(000) 555-0100",
    keeps="the fire-proof box in the scale house, Sallow Creek",
    latitude="44.500000",
    longitude="-126.500000",
    people=(
        DemoPerson(handle="ezra", called="Ezra Tindlemark", phone="(000) 555-0101", roles=("manager",)),
        DemoPerson(handle="paloma", called="Paloma Wickersett", phone="(000) 555-0102", roles=("safety_officer",)),
        DemoPerson(handle="boone", called="Boone Hollisgate", phone="(000) 555-0103", roles=("technician",)),
        DemoPerson(handle="delphine", called="Delphine Orrery", phone="(000) 555-0104", roles=("yard_hand",)),
        DemoPerson(handle="amos", called="Amos Veldtree", phone="(000) 555-0105", roles=("visitor",)),
    ),
)
YARDS = {yard.key: yard for yard in (NEW_ZEALAND, UNITED_STATES)}

"""What people say of a load, read and checked: frozen values that acts take."""

from dataclasses import dataclass
from uuid import UUID

from disposal.core.loadnow import Arrival, Thing


@dataclass(frozen=True, kw_only=True)
class PutOn:
    """A drum or a unit that goes on a load; `kg` as weighed, plain decimal text, empty where nobody weighed it."""

    thing: Thing
    of: UUID
    kg: str = ""


@dataclass(frozen=True, kw_only=True)
class Arrived:
    """What the facility says of one item; `kg` as weighed there, plain decimal text, empty where it says none."""

    item: UUID
    arrival: Arrival
    kg: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Settling:
    """How a difference was settled, in words: that of `item`, or, without one, of what stands on no list."""

    says: str
    item: UUID | None = None


@dataclass(frozen=True, kw_only=True)
class Line:
    """A line of a certificate: the code as written there; `item`: the id of the one that somebody picked, if any."""

    written: str
    item: str = ""

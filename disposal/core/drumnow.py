"""A drum as it stands now, or as it stood after a given entry: the frozen value that pages and papers are drawn from.

Days and instants are ISO 8601 text, amounts decimal text in litres or kg, identifiers text: all of it is plain data.
"""

from dataclasses import dataclass
from typing import Literal

from hazmat.core.unitnow import Known

DrumKind = Literal["drum", "slop_can"]
DrumPlace = Literal["here", "on_load", "gone", "destroyed"]
Lost = Literal["spilled", "sampled", "removed"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """A unit whose oil is in the drum, or ever was: its class, care and day as they are known now.

    `space`: its oil space; `litres`: what came from it by direct moves, empty where it came through another drum;
    `date`: the day that the law of the yard counts from, empty where nobody wrote it down; `first_in`: when its oil
    first came into this drum.
    """

    unit: str
    tag: str
    klass: str
    care: str
    known: Known
    rulebook: str
    first_in: str
    space: str = ""
    litres: str = ""
    date: str = ""


@dataclass(frozen=True, kw_only=True)
class MoveNow:
    """One pour into or out of it. `way`: `in` or `out`; `other`: tag of the unit or code of the drum at the other end.

    `other_kind`: `unit`, `drum`, or `none` where it went nowhere that is on record.
    """

    id: str
    way: Literal["in", "out"]
    other_kind: Literal["unit", "drum", "none"]
    other: str
    litres: str
    kg: str
    tool: str
    at: str
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class DrumNow:
    """A drum or slop can with everything that follows from its moves and from how its sources stand.

    `litres`, `kg`: what is in it, `kg` empty where a move was not weighed; `klass`, `care`, `known`, `rulebook`: the
    worst of all sources as they are known now; `date`: the oldest day of its sources, `dated_by`: `law` where each
    source has its day, `poured` where the first pour stands in for a day that nobody wrote down, empty while empty;
    `for_unit`: the tag of the one unit of a slop can; `load`: the number of the load that it is on, empty where none;
    `seq`: the last entry that is folded in.
    """

    drum: str
    yard: str
    code: str
    kind: DrumKind
    capacity_l: str
    made_at: str
    seq: str
    happened_at: str
    holder: str = ""
    un_mark: str = ""
    for_unit: str = ""
    litres: str = "0"
    kg: str = "0"
    klass: str = "undetermined"
    care: str = "ge500"
    known: Known = "untested"
    rulebook: str = ""
    date: str = ""
    dated_by: Literal["law", "poured", ""] = ""
    sources: tuple[Source, ...] = ()
    moves: tuple[MoveNow, ...] = ()
    bay: str = ""
    place: DrumPlace = "here"
    load: str = ""
    certificate: str = ""

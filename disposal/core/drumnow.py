"""A drum as it stands now, or as it stood after a given entry: the frozen value that pages and papers are drawn from.

Days and instants are ISO 8601 text, amounts decimal text in litres or kg, identifiers text: all of it is plain data.
"""

from dataclasses import dataclass
from typing import Literal

from hazmat.core.unitnow import Known

DrumKind = Literal["drum", "slop_can"]
DrumPlace = Literal["here", "on_load", "gone", "destroyed"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """A unit whose oil is in the drum, or ever was: its class, care and day as they are known now.

    `space`: its oil spaces; `litres`: what came from it by direct moves, empty where it came through another drum or
    was not measured; `date`: the day that the law of the yard counts from, empty where nobody wrote it down;
    `first_in`: when its oil first came into this drum, `drained_at`: when that oil first left the unit.
    """

    unit: str
    tag: str
    klass: str
    care: str
    known: Known
    rulebook: str
    first_in: str
    drained_at: str
    unit_kind: str = "other"
    space: str = ""
    litres: str = ""
    date: str = ""


@dataclass(frozen=True, kw_only=True)
class MoveNow:
    """One pour into or out of it. `way`: `in` or `out`; `other`: tag of the unit or code of the drum at the other end.

    `other_kind`: `unit`, `drum`, or `none` where it went nowhere that is on record; `all_out`: nothing more ran out;
    `celsius`: how warm it was, empty where nobody said.
    """

    id: str
    way: Literal["in", "out"]
    other_kind: Literal["unit", "drum", "none"]
    other: str
    litres: str
    kg: str
    tool: str
    at: str
    all_out: bool = False
    note: str = ""
    celsius: str = ""


@dataclass(frozen=True, kw_only=True)
class DrumNow:
    """A drum or slop can with everything that follows from its moves and from how its sources stand.

    `litres`, `kg`: what is in it, either empty where a move was not measured so; `between_l`, `between_kg`: then the
    least and the most that it can be, the most empty where nothing bounds it; `klass`, `care`, `known`, `rulebook`: the
    worst of all sources as they are known now; `common`: the law took all of it for worse than each of its sources,
    with its sentence; `date`: the oldest day of its sources, `dated_by`: `law` where each source has its day, `poured`
    where the first pour stands in for a day that nobody wrote down, empty while nothing was poured into it;
    `for_unit`: the tag of the one unit of a slop can; `load`: the number of the load that it is on, empty where none;
    `away`: from when to when it was signed away, the end empty while it is; `lost`: whether it is
    missing; `logged`, `seq`: the entry that brought it in, and the last one that is folded in.
    """

    drum: str
    yard: str
    code: str
    kind: DrumKind
    capacity_l: str
    made_at: str
    seq: str
    happened_at: str
    logged: str = "0"
    holder: str = ""
    un_mark: str = ""
    for_unit: str = ""
    litres: str = "0"
    kg: str = "0"
    between_l: tuple[str, str] = ("0", "0")
    between_kg: tuple[str, str] = ("0", "0")
    klass: str = "undetermined"
    care: str = "ge500"
    known: Known = "untested"
    rulebook: str = ""
    common: str = ""
    date: str = ""
    dated_by: Literal["law", "poured", ""] = ""
    sources: tuple[Source, ...] = ()
    moves: tuple[MoveNow, ...] = ()
    bay: str = ""
    place: DrumPlace = "here"
    load: str = ""
    certificate: str = ""
    away: tuple[tuple[str, str], ...] = ()
    lost: bool = False

    @property
    def signed_away(self) -> bool:
        """Whether it is signed for, on its way, or gone: nothing comes out of it and nothing goes into it."""
        return self.place in ("gone", "destroyed") or any(not end for _, end in self.away)

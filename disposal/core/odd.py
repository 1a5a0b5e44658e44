"""What arrived otherwise than it was sent: missing, refused, more, or of another weight; and how it was settled."""

from dataclasses import dataclass
from decimal import Decimal

from disposal.core.loadnow import ItemNow, LoadNow


@dataclass(frozen=True, kw_only=True)
class Odd:
    """One difference: its `item` by id, empty for what stands on no list; what it is; how it was settled, empty while
    it is not; `lost`: whether nobody knows where the item is, which no words settle."""

    item: str
    says: str
    settled: str
    lost: bool = False


def odd(load: LoadNow) -> list[Odd]:
    """Everything of a load that arrived otherwise than it was sent, in the order of its items."""
    found = [one for one in (_odd_item(item) for item in load.aboard) if one]
    if load.extra:
        says = f"the facility got what stands on no list: {load.extra}"
        found.append(Odd(item="", says=says, settled=load.extra_settled))
    return found


def unsettled(load: LoadNow) -> list[Odd]:
    """What of that nobody has settled."""
    return [one for one in odd(load) if not one.settled]


def _odd_item(item: ItemNow) -> Odd | None:
    if item.arrival == "missing":
        proof = f"certificate {item.certificate} names it" if item.certificate else ""
        return Odd(item=item.id, says=f"the facility never got {item.called}", settled=proof, lost=True)
    parts = [
        *(["was refused and is back here"] if item.arrival == "refused" else []),
        *([f"was {item.kg} kg as loaded and {item.kg_received} kg there"] if other_weight(item) else []),
    ]
    says = f"{item.called} {', and '.join(parts)}"
    return Odd(item=item.id, says=says, settled=item.settled) if parts else None


def other_weight(item: ItemNow) -> bool:
    """Whether an item weighed there what it did not weigh here; what nobody weighed on one side differs in nothing."""
    return bool(item.kg and item.kg_received) and Decimal(item.kg) != Decimal(item.kg_received)

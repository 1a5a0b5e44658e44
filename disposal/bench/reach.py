"""What the oil of one container reached, over n moves, against one bare pass over them that keeps its ways."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from random import Random

from disposal.core.reach import Step, follow
from hazmat.edge.timing import Measured, measured

CONTAINERS = 100
"""Moves for each container. Source: our own choice, more than a drum sees in its life."""
GEAR, WIPED = 10, 5
"""One container in so many is gear, and one in so many of its steps is a clean-out. Source: our own choice."""
TIES = 10
"""One move in so many was written down for the moment of the one before. Source: our own choice."""
BEGUN = datetime(1980, 1, 1, tzinfo=UTC)


def drawn(n: int, seed: int = 1) -> list[Step]:
    """Invented moves in order of time, the same for a seed."""
    chance, many = Random(seed), max(2, n // CONTAINERS)
    names = [f"container {one}" for one in range(many)]
    found, minute = [], 0
    for _ in range(n):
        minute += 1 if chance.randrange(TIES) else 0
        at, source = (BEGUN + timedelta(minutes=minute)).isoformat(), chance.randrange(many)
        wiped = source % GEAR == 1 and not chance.randrange(WIPED)
        found.append(Step(at, names[source], "" if wiped else names[chance.randrange(many)]))
    return found


def bare(steps: Sequence[Step], begun: str) -> dict[str, tuple[int, int, object]]:
    """The shortest way to each container, where every step stands alone at its moment and nothing is cleaned."""
    now: dict[str, tuple[int, int, object]] = {begun: (0, -1, None)}
    for place, (_, source, target, _, _) in enumerate(steps):
        here = now.get(source)
        if here is None:
            continue
        there = now.get(target)
        if there is None or here[0] + 1 < there[0]:
            now[target] = (here[0] + 1, place, here)
    return now


def reach(n: int) -> Measured:
    """Everything that the oil of one container reached. RuntimeError where a plain history is followed otherwise."""
    steps, begun = drawn(n), "container 0"
    plain = [step._replace(at=f"{place:09}") for place, step in enumerate(steps) if step.target]
    wanted = {one: way[0] for one, way in bare(plain, begun).items() if one != begun}
    if {one: way.hops for one, way in follow(plain, [begun]).near.items()} != wanted:
        raise RuntimeError("what was followed and the bare pass differ")

    def floor() -> None:
        bare(steps, begun)

    def ours() -> None:
        follow(steps, [begun])

    return measured("reach", n, 1.3, floor, ours)

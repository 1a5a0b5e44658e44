"""Speed of judging a register: as lines, and as columns.

`assess_lines` and `assess_bulk`: the whole of `assess` on seeded lines of a register, against the standard library
loading and dumping the same lines as JSON. `bulk_judge`: units in columns, against one hand-written `numpy.select` of
what 40 CFR 761.2 presumes.
"""

import json
from collections.abc import Callable, Iterable
from tempfile import TemporaryFile

import numpy as np

from hazmat import rulebooks
from hazmat.core.assess import Judge
from hazmat.core.law import LawDay
from hazmat.core.presume import FORCES
from hazmat.edge.abreast import Abreast, processors
from hazmat.edge.byhand import OUTCOMES, by_hand
from hazmat.edge.columns import Column
from hazmat.edge.drawn import ON, drawn_columns, drawn_lines, seeded_lines
from hazmat.edge.lines import Assessor, seldom_collected
from hazmat.edge.patterns import ColumnJudge, Judged
from hazmat.edge.reader import Refused
from hazmat.edge.timing import ROUNDS, Measured, measured
from hazmat.rulebooks.fluids import fluid_names

__all__ = ["BENCHES", "DEFAULT_N", "ON", "ROUNDS", "Measured", "measured", "seeded_lines"]


def assess_lines(n: int = 10_000) -> Measured:
    """`assess` under us law on n lines, against JSON load and dump of them; microseconds a line."""
    lines = seeded_lines(n)

    def floor() -> None:
        for line in lines:
            json.dumps(json.loads(line))

    return measured("assess_lines", n, 4.0, floor, lambda: judge_all(lines))


def judge_all(lines: Iterable[bytes], many: int = 1) -> None:
    """Judge and write every line under us law, as the command does. Raises Refused."""
    with seldom_collected():
        for answer in Abreast(Assessor("us", ON, ON), many).answers(lines):
            if isinstance(answer, Refused):
                raise answer


def bulk_judge(n: int = 1_000_000) -> Measured:
    """Units in columns under us law: class, force, band and their rows, sizes. RuntimeError where the two differ."""
    columns = drawn_columns(n)
    house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), ON)
    judge = ColumnJudge(Judge(LawDay(rulebooks.rulebook("us"), ON), house, fluid_names(), ON))
    hand, found = by_hand(columns), list(judge.judged(columns))
    classes = np.array([judge.classes.index(klass) for klass, _ in OUTCOMES]).take(hand)
    forces = np.array([FORCES.index(force) for _, force in OUTCOMES]).take(hand)
    if not (np.array_equal(classes, joined(found, "klass")) and np.array_equal(forces, joined(found, "force"))):
        raise RuntimeError("what was judged in columns and by hand differs")

    def floor() -> None:
        by_hand(columns)

    def ours() -> None:
        for _ in judge.judged(columns):
            pass

    return measured("bulk_judge", n, 1.0, floor, ours)


def joined(found: list[Judged], name: str) -> Column:
    """One column of the answers of all chunks."""
    whole: Column = np.concatenate([getattr(one, name) for one in found])
    return whole


def assess_bulk(n: int = 1_000_000) -> Measured:
    """The same as `assess_lines` on a register that is read from a file and never held whole, by all processors."""
    with TemporaryFile() as register:
        register.writelines(drawn_lines(n))

        def floor() -> None:
            register.seek(0)
            for line in register:
                json.dumps(json.loads(line))

        def ours() -> None:
            register.seek(0)
            judge_all(register, processors())

        return measured("assess_bulk", n, 2.5, floor, ours)


BENCHES: dict[str, Callable[[int], Measured]] = {
    "assess_lines": assess_lines, "bulk_judge": bulk_judge, "assess_bulk": assess_bulk,
}  # fmt: skip
DEFAULT_N = {"assess_lines": 10_000, "bulk_judge": 1_000_000, "assess_bulk": 1_000_000}

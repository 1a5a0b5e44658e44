"""A long register judged by several processes at once, in its order and to the same bytes.

Blocks of lines are handed out; a block that is answered whole comes back as it is to be written, with its ids. A block
in which anything is refused, or an id stands again, is judged once more the ordinary way, in the first process: so
there is one place where lines are refused.
"""

import os
import signal
import threading
from collections import deque
from collections.abc import Generator, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from datetime import date
from itertools import islice
from multiprocessing import get_context, parent_process
from pathlib import Path

from hazmat import rulebooks
from hazmat.edge.lines import Assessor, seldom_collected
from hazmat.edge.reader import Refused
from hazmat.edge.writer import JsonLines

ALONE = 20_000
"""So many lines are judged before others are started: most registers end sooner. Source: our own choice."""
BLOCK = 400
"""Lines in a block. Source: our own choice, measured."""
AHEAD = 3
"""Blocks that wait for each process, so that memory does not grow with the register. Source: our own choice."""
MOST = 8
"""Most processes; each holds the law and its patterns. Source: our own choice."""

Done = tuple[list[str], bytes]
"""The ids of a block, and its answers."""


def processors() -> int:
    """How many processes may run at once here."""
    usable = getattr(os, "sched_getaffinity", None)
    return min(len(usable(0)) if usable else os.cpu_count() or 1, MOST)


class Abreast:
    """The answers of an assessor as JSON lines. `many`: how many processes judge, where there are lines enough."""

    def __init__(self, assessor: Assessor, many: int) -> None:
        self.assessor, self.many = assessor, many
        self._write = JsonLines().line

    def answers(self, stream: Iterable[bytes]) -> Generator[bytes | Refused, None, None]:
        """Whole lines to be written, one or many, or a refusal, in order."""
        if self.many < 2:
            yield from self._ordinary(stream, 1)
            return
        lines = iter(stream)
        yield from self._ordinary(islice(lines, ALONE), 1)
        blocks = iter(lambda: list(islice(lines, BLOCK)), [])
        first = next(blocks, None)
        if first is not None:
            yield from self._together(first, blocks)

    def _ordinary(self, stream: Iterable[bytes], first: int) -> Iterator[bytes | Refused]:
        """Line by line in this process. `first`: the number of the first one."""
        for answer in self.assessor.answers(stream, first):
            yield answer if isinstance(answer, Refused) else self._write(answer)

    def _together(self, block: list[bytes] | None, blocks: Iterator[list[bytes]]) -> Iterator[bytes | Refused]:
        """Blocks by other processes, so many ahead."""
        asked = (self.assessor.rulebook, self.assessor.on, self.assessor.today, rulebooks.beside())
        pool = ProcessPoolExecutor(self.many, get_context("spawn"), _begin, asked)
        waiting: deque[tuple[int, list[bytes], Future[Done | None] | None]] = deque()
        number = ALONE + 1
        try:
            while block or waiting:
                if block:
                    waiting.append((number, block, _submitted(pool, block)))
                    number += len(block)
                    block = next(blocks, None)
                if not block or len(waiting) > self.many * AHEAD:
                    yield from self._taken(*waiting.popleft())
        finally:
            pool.shutdown(cancel_futures=True)

    def _taken(self, number: int, block: list[bytes], future: Future[Done | None] | None) -> Iterator[bytes | Refused]:
        """A block as it came back; judged here where it did not come back whole."""
        seen = self.assessor.reader.seen
        try:
            done = future.result() if future else None
        except BrokenProcessPool:
            done = None
        if done is None or not seen.isdisjoint(done[0]):
            yield from self._ordinary(block, number)
        else:
            seen.update(done[0])
            yield done[1]


def _submitted(pool: ProcessPoolExecutor, block: list[bytes]) -> Future[Done | None] | None:
    """A block handed out; None where a process was lost, and with it all of them."""
    try:
        return pool.submit(_judged, block)
    except BrokenProcessPool:
        return None


# ------------------------------------------------------------------ in another process

_here: list[Assessor] = []
_writers: list[JsonLines] = []


def _begin(rulebook: str | None, on: date, today: date, beside: Path | None) -> None:
    """Make ready to judge blocks by the editions that the first process holds; end with it, however that ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_the_first, daemon=True).start()
    rulebooks.look_beside(beside)
    _here[:], _writers[:] = [Assessor(rulebook, on, today)], [JsonLines()]


def _end_with_the_first() -> None:
    first = parent_process()
    if first is not None:
        first.join()
        os._exit(1)


def _judged(block: list[bytes]) -> Done | None:
    """A block answered whole, or None. Its lines are never the first of a register, which may bear a mark."""
    assessor, write, found = _here[0], _writers[0].line, []
    assessor.reader.seen.clear()
    with seldom_collected():
        for answer in assessor.answers(block, first=2):
            if isinstance(answer, Refused):
                return None
            found.append(write(answer))
    return [str(one) for one in assessor.reader.seen], b"".join(found)

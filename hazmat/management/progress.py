"""How far a long read has come: one line on a terminal that is written over, and taken away at the end."""

import sys
from collections.abc import Callable, Iterable, Iterator
from time import monotonic

EVERY = 1_000
"""After how many lines the clock is looked at. Source: our own choice."""
SECONDS = 1.0
"""How often the line is written anew; what is done sooner shows none. Source: our own choice."""


class Counted:
    """Lines as they come, counted on standard error where that is a terminal and the answers go elsewhere."""

    def __init__(self, lines: Iterable[bytes], clock: Callable[[], float] = monotonic) -> None:
        self.lines, self.clock = lines, clock
        self.wanted = sys.stderr.isatty() and not sys.stdout.isatty()
        self.width = 0

    def __iter__(self) -> Iterator[bytes]:
        return self._counted() if self.wanted else iter(self.lines)

    def _counted(self) -> Iterator[bytes]:
        begun = shown = self.clock()
        for number, line in enumerate(self.lines, 1):
            yield line
            if number % EVERY == 0 and (now := self.clock()) - shown >= SECONDS:
                shown = now
                self._show(f"{number:,} lines, {number / (now - begun):,.0f} a second")

    def _show(self, says: str) -> None:
        sys.stderr.write(f"\r{says:<{self.width}}")
        sys.stderr.flush()
        self.width = len(says)

    def clear(self) -> None:
        """Take the line away, so that other words can stand there."""
        if self.width:
            sys.stderr.write(f"\r{'':<{self.width}}\r")
            sys.stderr.flush()
            self.width = 0

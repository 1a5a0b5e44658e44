"""Measure speed as a ratio to a floor of the same run; exit 1 when a goal is missed."""

import argparse
import re
import sys
from dataclasses import asdict
from typing import Any

import msgspec
from django.core.management.base import CommandParser

from hazmat.bench.inside import INSIDE, outside
from hazmat.edge.bench import BENCHES, DEFAULT_N, Measured
from hazmat.management.verb import Refusal, Verb

NAMES = ", ".join((*BENCHES, *INSIDE))
MOST = 10_000_000
"""Most items to measure over. Source: our own choice; more would run for days."""


def a_count(written: str) -> int:
    """A count on the command line. Raises ArgumentTypeError."""
    if not re.fullmatch(r"[0-9]{1,8}", written, re.ASCII) or not 1 <= int(written) <= MOST:
        raise argparse.ArgumentTypeError(f"“{written}” is no count; a whole number from 1 to {MOST} may stand there")
    return int(written)


class Command(Verb):
    help = "Measure speed as a ratio to a floor, in turns in the same run; the exit status is 1 when a goal is missed."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("names", nargs="*", metavar="NAME", help=f"{NAMES}; none: all of them")
        parser.add_argument("--n", type=a_count, help="how many items to measure over")
        parser.add_argument("--format", choices=("table", "jsonl"), default="table", help="how figures are written")

    def handle(self, *args: Any, **options: Any) -> None:
        names = options["names"] or [*BENCHES, *INSIDE]
        for name in names:
            if name not in (*BENCHES, *INSIDE):
                raise Refusal(f"“{name}” is not measured here; {NAMES} can be")
        missed = []
        for name in names:
            figure = _measured(name, options["n"])
            sys.stdout.write(_line(figure, options["format"]))
            if figure.missed:
                missed.append(f"{name} took {figure.ratio} times its floor; its goal is {figure.goal}")
        if missed:
            raise Refusal("; ".join(missed), 1)


def _measured(name: str, n: int | None) -> Measured:
    if name in BENCHES:
        return BENCHES[name](n or DEFAULT_N[name])
    try:
        return outside(name, n or INSIDE[name][1])
    except RuntimeError as broken:
        raise Refusal(str(broken), 1) from None


def _line(figure: Measured, format: str) -> str:
    if format == "jsonl":
        return msgspec.json.encode(asdict(figure)).decode() + "\n"
    return (
        f"{figure.name:<14} n {figure.n:<8} ratio {figure.ratio:<6} goal {figure.goal:<5} "
        f"ours {figure.value} {figure.unit}, floor {figure.floor} {figure.unit}  ({figure.machine}, {figure.day})\n"
    )

"""What all commands share: one clear line on standard error for bad input, exit 2, no traceback on a closed pipe."""

import argparse
import io
import os
import re
import sys
from datetime import UTC, date, datetime, timedelta
from typing import Any, NoReturn

from django.core.management.base import BaseCommand, CommandParser

from hazmat.rulebooks.strict import RulebookError

BAD_INPUT, SOME_BAD = 2, 3
EARLIEST_ZONE = timedelta(hours=14)
"""The zone whose day begins first is 14 hours ahead of UTC. Source: IANA time zone data, Pacific/Kiritimati."""


class Refusal(Exception):
    """Bad input: one sentence for the person, and the exit status."""

    def __init__(self, says: str, status: int = BAD_INPUT) -> None:
        super().__init__(says)
        self.status = status


class Verb(BaseCommand):
    """A command of ours. It needs no database unless it says so, and runs no start-up checks of its own."""

    requires_system_checks = ()

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.error = _one_line  # type: ignore[method-assign]  # argparse prints its usage first; one line is the contract
        return parser

    def run_from_argv(self, argv: list[str]) -> None:
        """Run, and end with one line for whatever was wrong outside of us; a reader who left early is no mistake."""
        try:
            self._run(argv)
        except BrokenPipeError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            sys.exit(0)
        except OSError as error:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            _end(f"the answer cannot be written: {(error.strerror or 'it failed').lower()}", BAD_INPUT)

    def _run(self, argv: list[str]) -> None:
        if isinstance(sys.stdout, io.TextIOWrapper):
            sys.stdout.reconfigure(errors="replace")
        try:
            super().run_from_argv(argv)
        except Refusal as refusal:
            sys.stdout.flush()
            _end(str(refusal), refusal.status)
        except RulebookError as error:
            sys.stdout.flush()
            _end(str(error), BAD_INPUT)
        finally:
            sys.stdout.flush()


def _end(says: str, status: int) -> NoReturn:
    sys.stderr.write(f"{says}\n")
    sys.exit(status)


def _one_line(message: str) -> NoReturn:
    _end(f"{message}; --help shows what may stand there", BAD_INPUT)


def latest_day() -> date:
    """The latest calendar day anywhere on Earth now: a date after it lies in the future for everybody."""
    return (datetime.now(UTC) + EARLIEST_ZONE).date()


def a_day(written: str) -> date:
    """A day on the command line, as 2026-11-25."""
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", written, re.ASCII):
            raise ValueError
        return date.fromisoformat(written)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"“{written}” is not a day; a day such as 2026-11-25 may stand there"
        ) from None

"""The product as the oracles see it: lines in, answers out, over its own command line."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[3]


def judge_lines(lines: list[dict[str, Any]], rulebook: str, on: str) -> list[dict[str, Any]]:
    """What `assess` answers, one dict a line, in order. Raises RuntimeError with what it said."""
    command = [sys.executable, "manage.py", "assess", "-", "--rulebook", rulebook, "--on", on]
    text = "".join(json.dumps(line) + "\n" for line in lines)
    done = subprocess.run(command, input=text, capture_output=True, text=True, cwd=ROOT, check=False)
    if done.returncode:
        raise RuntimeError(f"assess ended with {done.returncode}: {done.stderr[-2000:]}")
    return [json.loads(line) for line in done.stdout.splitlines()]

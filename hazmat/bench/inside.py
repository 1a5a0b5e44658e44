"""The figures that need a book: each is measured in a process and a home of its own, and thrown away."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import msgspec

from hazmat.edge.bench import Measured

INSIDE = {
    "unit_page": ("hazmat.bench.pages", 100_000),
    "gear_card": ("hazmat.bench.pages", 1000),
    "unit_list": ("hazmat.bench.pages", 100_000),
    "unit_story": ("disposal.bench.pages", 200),
    "drum_page": ("disposal.bench.pages", 200),
    "act": ("hazmat.bench.writing", 1),
    "result": ("hazmat.bench.writing", 1),
    "sum_page": ("hazmat.bench.pages", 100),
    "entry": ("hazmat.bench.writing", 1000),
    "sheet": ("hazmat.bench.papers", 5),
    "four_up": ("hazmat.bench.papers", 5),
    "folder": ("disposal.bench.papers", 200),
    "prove": ("hazmat.bench.proving", 100_000),
    "reach": ("disposal.bench.reach", 1_000_000),
    "reassess": ("hazmat.bench.rejudging", 100_000),
}
"""Name of a figure to its module and how many items are measured over where nobody says."""
HERE = "OILWARD_BENCH"
"""Set in the process that measures, so that it never runs in a real book."""


def outside(name: str, n: int) -> Measured:
    """Measure in another process, in a home that is thrown away. Raises RuntimeError where that breaks off."""
    with tempfile.TemporaryDirectory(prefix="oilward-bench-") as home:
        knobs = {**os.environ, "OILWARD_HOME": home, "OILWARD_BOOK": "bench", "DATABASE_URL": "", HERE: "1"}
        words = [sys.executable, "-m", "hazmat.bench.inside", name, str(n)]
        top = Path(__file__).resolve().parents[2]
        done = subprocess.run(words, env=knobs, cwd=top, stdout=subprocess.PIPE, check=False)
    if done.returncode:
        raise RuntimeError(f"{name} broke off with status {done.returncode}")
    return msgspec.json.decode(done.stdout.splitlines()[-1], type=Measured)


def main() -> None:
    """Measure one figure in the book of this process, which must be a thrown-away one."""
    if os.environ.get(HERE) != "1":
        sys.exit("this is started by `manage.py bench` alone")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "hazmat.conf.settings")
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", verbosity=0)
    name, n = sys.argv[1], int(sys.argv[2])
    measure: Callable[[int], Measured] = getattr(import_module(INSIDE[name][0]), name)
    print(msgspec.json.encode(measure(n)).decode())


if __name__ == "__main__":
    main()

"""What every lane shares. Nothing here imports Django before a lane that has it asks for it."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import hypothesis
import pytest

if TYPE_CHECKING:
    from tests.cast import Cast

ROOT = Path(__file__).resolve().parents[1]
DEEP = os.environ.get("OILWARD_DEEP") == "1"
ENGINE = "postgres" if os.environ.get("DATABASE_URL", "").startswith("postgres") else "sqlite"

hypothesis.settings.register_profile("steady", derandomize=True, deadline=None, max_examples=100, print_blob=True)
hypothesis.settings.register_profile("deep", hypothesis.settings.get_profile("steady"), max_examples=2000)
hypothesis.settings.load_profile("deep" if DEEP else "steady")


def pytest_configure(config: pytest.Config) -> None:
    """Point Django, in a lane that has it, at a home of its own, so that no test meets a real book."""
    if not config.pluginmanager.hasplugin("django"):
        return
    home = tempfile.TemporaryDirectory(prefix="oilward-test-")
    config.add_cleanup(home.cleanup)
    os.environ.update(OILWARD_HOME=home.name, DJANGO_SETTINGS_MODULE="hazmat.conf.settings")
    import django

    django.setup()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Drop what belongs to the other engine, and what is long unless it is asked for."""
    unwanted = {"sqlite", "postgres"} - {ENGINE} | (set() if DEEP else {"deep"})
    dropped = [item for item in items if unwanted & {mark.name for mark in item.iter_markers()}]
    config.hook.pytest_deselected(items=dropped)
    items[:] = [item for item in items if item not in set(dropped)]


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory: pytest.TempPathFactory) -> None:
    """On SQLite the test database is a file, as a book is: memory has no WAL and no second process."""
    from django.db import connection

    if connection.vendor == "sqlite":
        name = tmp_path_factory.mktemp("database") / "book.sqlite3"
        connection.settings_dict["TEST"]["NAME"] = str(name)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty home directory, and no other knob set, for the processes that a test starts."""
    for knob in [name for name in os.environ if name.startswith("OILWARD_") or name == "DATABASE_URL"]:
        monkeypatch.delenv(knob)
    monkeypatch.setenv("OILWARD_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def python(home: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run Python in the checkout with these words and knobs; every warning is an error there too."""

    def run(*words: str, **knobs: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-W", "error", *words]
        environment = {**os.environ, **knobs}
        return subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)

    return run


@pytest.fixture
def cast(db: None) -> "Cast":
    """The fixed cast, in a book of its own."""
    from tests.cast import make_cast

    return make_cast()


@pytest.fixture(autouse=True)
def guards_off_at_the_end(request: pytest.FixtureRequest) -> Iterator[None]:
    """After a test that really commits, take the guards off, so that its tables can be emptied; they are put on again
    right after that, as after every migration."""
    mark = request.node.get_closest_marker("django_db")
    commits = {"transactional_db", "live_server"} & set(request.fixturenames)
    if not commits and not (mark and mark.kwargs.get("transaction")):
        yield
        return
    request.getfixturevalue("_django_db_helper")
    from django.db import connection

    from hazmat.book import guards

    yield
    guards.remove(connection)


@pytest.fixture
def live_cast(transactional_db: None) -> "Cast":
    """The fixed cast, committed, so that a server in another thread sees it."""
    from tests.cast import make_cast

    return make_cast()

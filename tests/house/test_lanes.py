"""The runner itself: a lane that does nothing, breaks off or is left out is never a pass."""

import socket
from pathlib import Path

import pytest
from pytest_socket import SocketConnectBlockedError

from tests import __main__ as lanes
from tests import cluster


def lane(folder: Path, text: str) -> lanes.Tally:
    (folder / "test_made.py").write_text(text)
    return lanes.pytest_run([folder], "-q", "-p", "no:django")


def test_a_lane_counts_what_ran(tmp_path: Path) -> None:
    text = """
import pytest
def test_good(): pass
def test_also_good(): pass
def test_bad(): assert 1 == 2
def test_left_out(): pytest.skip("no such machine")
"""
    assert lane(tmp_path, text) == lanes.Tally(passed=2, failed=1, skipped=1)


def test_a_lane_without_a_test_fails(tmp_path: Path) -> None:
    assert lane(tmp_path, "X = 1\n") == lanes.Tally(failed=1)
    assert lanes.pytest_run([]) == lanes.Tally(failed=1)


def test_a_file_that_cannot_be_read_fails(tmp_path: Path) -> None:
    assert lane(tmp_path, "import no_such_module\n").failed == 1


def test_a_run_that_breaks_off_fails(tmp_path: Path) -> None:
    assert lane(tmp_path, "import os\ndef test_gone(): os._exit(0)\n") == lanes.Tally(failed=1)


def test_a_warning_fails(tmp_path: Path) -> None:
    text = "import warnings\ndef test_warns(): warnings.warn('old', DeprecationWarning)\n"
    assert lane(tmp_path, text).failed == 1


@pytest.mark.parametrize(
    ("said", "tally"),
    [
        ("== core\n..\ncore: 2 passed, 1 failed, 3 skipped\n1 passed, 0 failed\n", lanes.Tally(2, 1, 3)),
        ("core: SKIPPED, no such machine\n", lanes.Tally(skipped=1)),
        ("yard: 2 passed, 0 failed, 0 skipped\n", lanes.Tally(failed=1)),
        ("== core\n....", lanes.Tally(failed=1)),
        ("", lanes.Tally(failed=1)),
    ],
)
def test_what_a_lane_said_counts_only_if_it_said_so_whole(said: str, tally: lanes.Tally) -> None:
    assert lanes.told("core", said) == tally


def test_lanes_that_break_off_fail_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    assert lanes.side_by_side(["no-such", "nor-such"], False, 2) == lanes.Tally(failed=2)
    assert "no such lane: nor-such" in capsys.readouterr().out


def test_in_ci_a_skip_is_a_failure() -> None:
    assert lanes.Tally(5, 1, 2).strict() == lanes.Tally(5, 3, 0)


def test_a_machine_without_postgresql_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(cluster, "BINARIES", tmp_path)
    assert lanes.run_lane("postgres", deep=False) == lanes.Tally(skipped=1)
    assert "postgres: SKIPPED, no PostgreSQL server is installed: sudo apt-get install -y postgresql" in (
        capsys.readouterr().out
    )


def test_every_folder_of_tests_is_in_a_lane(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("core/test_a.py", "edge/deeper/test_b.py", "later/deeper/test_c.py", "empty/notes.py"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).touch()
    monkeypatch.setattr(lanes, "TESTS", tmp_path)
    assert [folder.name for folder in lanes.folders()] == ["core", "edge", "later"]
    assert [folder.name for folder in lanes.django_folders()] == ["later"]


def test_a_gate_that_fails_is_counted_and_speaks(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(lanes, "GATES", {"good": ["true"], "bad": ["sh", "-c", "echo because; exit 3"]})
    assert lanes.gates(deep=False) == lanes.Tally(passed=1, failed=1)
    assert "because" in capsys.readouterr().out


def test_no_test_reaches_the_network() -> None:
    """192.0.2.1 is an address for documents, RFC 5737, https://www.rfc-editor.org/rfc/rfc5737."""
    blocked = pytest.raises(SocketConnectBlockedError)
    with socket.socket() as plug, pytest.warns(UserWarning, match=r"192\.0\.2\.1"), blocked:
        plug.connect(("192.0.2.1", 80))

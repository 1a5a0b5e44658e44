"""A private PostgreSQL cluster that lives as long as one lane. It listens on no port."""

import contextlib
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

BINARIES = Path("/usr/lib/postgresql")


class Missing(Exception):
    """This machine has no PostgreSQL server to start; the message says what to install."""


def newest() -> Path:
    """The binaries of the newest PostgreSQL that Debian installed. Raises Missing."""
    found = [folder.parent for folder in BINARIES.glob("*/bin/initdb")]
    if not found:
        raise Missing("no PostgreSQL server is installed: sudo apt-get install -y postgresql")
    return max(found, key=lambda folder: [int(part) for part in folder.parent.name.split(".")])


def servant() -> dict[str, Any]:
    """Under which account to run the server: PostgreSQL refuses to run as root."""
    if os.geteuid() != 0:
        return {}
    names = {entry.pw_name: entry for entry in pwd.getpwall()}
    account = names.get("postgres") or names["nobody"]
    return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}


@contextlib.contextmanager
def cluster() -> Iterator[str]:
    """Start a fresh cluster and give its DATABASE_URL; stop and remove it afterwards. Raises Missing."""
    binaries, account = newest(), servant()
    folder = Path(tempfile.mkdtemp(prefix="oilward-pg-"))
    if account:
        os.chown(folder, account["user"], account["group"])

    def run(program: str, *words: str) -> None:
        command = [str(binaries / program), "-D", str(folder / "data"), *words]
        subprocess.run(command, cwd=folder, check=True, stdout=subprocess.DEVNULL, **account)

    try:
        run("initdb", "-U", "oilward", "--auth=trust", "--encoding=UTF8", "--locale=C.UTF-8", "--no-sync")
        options = f"-k {folder} -c listen_addresses='' -c fsync=off"
        run("pg_ctl", "start", "-w", "-t", "60", "-l", str(folder / "log"), "-o", options)
        try:
            yield f"postgres://oilward@/{folder}/postgres"
        finally:
            run("pg_ctl", "stop", "-w", "-m", "immediate")
    finally:
        shutil.rmtree(folder)

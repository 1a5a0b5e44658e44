"""Serving the pages on this computer, from the command line."""

import argparse
import os
import re
import socket
import sys
from typing import NoReturn

from hazmat.management.verb import Refusal

HERE = "127.0.0.1"
WORKERS = 2
"""Processes that answer: one may print while the other serves. Source: our own choice."""
LONGEST_ANSWER = 120
"""Seconds after which an answer is given up. Source: our own choice."""
LAST_PORT = 65_535
"""Ports have 16 bits. Source: RFC 9293, 3.1."""


def address(port: int, path: str = "/") -> str:
    """Where a browser on this computer finds a page."""
    return f"http://{HERE}:{port}{path}"


def a_port(written: str) -> int:
    """A port on the command line. Raises ArgumentTypeError."""
    if not re.fullmatch(r"[0-9]{1,5}", written, re.ASCII) or not 1 <= int(written) <= LAST_PORT:
        raise argparse.ArgumentTypeError(f"“{written}” is no port; a number from 1 to {LAST_PORT} may stand there")
    return int(written)


def free(port: int) -> None:
    """Raise Refusal where something else serves on this port already."""
    with socket.socket() as tried:
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((HERE, port))
        except OSError:
            raise Refusal(f"something else serves on port {port} already; name another one with --port") from None


def serve(port: int) -> NoReturn:
    """Become the web server of the book in use, until it is stopped."""
    sys.stdout.flush()
    words = [
        sys.executable, "-m", "gunicorn", "--no-control-socket", f"--workers={WORKERS}", f"--bind={HERE}:{port}",
        f"--timeout={LONGEST_ANSWER}", "--log-level=warning", "hazmat.conf.wsgi",
    ]  # fmt: skip
    os.execv(sys.executable, words)

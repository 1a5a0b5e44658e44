#!/usr/bin/env python3
"""Run one command of Oilward: `manage.py COMMAND --help` tells about each."""

import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line


def main() -> int:
    """Run the command line; a knob that cannot be used is one line on standard error and exit 2."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "hazmat.conf.settings")
    try:
        import hazmat.conf.settings  # noqa: F401 - read first, so that a wrong knob is named before anything runs
    except ImproperlyConfigured as wrong:
        print(wrong, file=sys.stderr)
        return 2
    execute_from_command_line(sys.argv)
    return 0


if __name__ == "__main__":
    sys.exit(main())

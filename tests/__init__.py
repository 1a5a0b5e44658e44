"""The tests, in lanes: `python -m tests --help`."""

"""The demo: an invented firm with two yards, its units, and pictures of them drawn by us."""

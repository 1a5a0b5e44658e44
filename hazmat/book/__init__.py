"""The write path: the one place from which anything is saved."""

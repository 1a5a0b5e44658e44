"""What is written: one act a function, each through the book."""

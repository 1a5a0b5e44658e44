"""What is decided, and nothing else: pure functions over frozen values, on the standard library alone."""

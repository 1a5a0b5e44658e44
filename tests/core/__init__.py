"""What is decided, tested without Django."""

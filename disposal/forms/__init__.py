"""What is asked about drums and loads."""

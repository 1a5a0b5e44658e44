"""What people fill in: forms check and explain; they write nothing."""

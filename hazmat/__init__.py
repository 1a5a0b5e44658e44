"""What a thing is, how dangerous it is, how it is handled, and the book that all of it is written in."""

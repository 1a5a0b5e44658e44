"""The edge: what is read in, what is refused, what goes out."""

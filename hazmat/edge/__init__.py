"""The edge: what comes in is read strictly, what goes out is written one way."""

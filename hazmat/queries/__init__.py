"""What is read: standings, lists, and the entries that tell of a thing."""

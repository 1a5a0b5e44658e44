"""What is read: standings of drums and loads, lists of bays and partners."""

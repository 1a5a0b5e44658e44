"""Every act on drums and loads."""

"""Settings, addresses, the server's entry point and the start-up checks."""

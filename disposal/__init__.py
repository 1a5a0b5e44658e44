"""Where a thing goes: drums, bays, clocks, loads and certificates."""

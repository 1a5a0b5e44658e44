"""The rules of drums, moves, loads and days: pure."""

"""What a browser asks for: each view checks the right first, calls one query or action, and draws the answer."""

"""The pages of drums and loads."""

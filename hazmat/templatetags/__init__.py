"""Small words for templates."""

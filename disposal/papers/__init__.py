"""What the papers of drums and loads say."""

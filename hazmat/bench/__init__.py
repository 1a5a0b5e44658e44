"""Speed of what a browser and a book do, as a ratio to a floor of the same run, in a book that is thrown away."""

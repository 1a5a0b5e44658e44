"""Speed of what drums and loads do, as a ratio to a floor of the same run."""

"""Outside oracles for the decision tables: they share no code with the product."""

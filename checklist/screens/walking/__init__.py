"""A walk from the first step to the signatures."""

"""Heat, cold, thunder and wind."""

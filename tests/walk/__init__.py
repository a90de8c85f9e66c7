"""One run of a rule file."""

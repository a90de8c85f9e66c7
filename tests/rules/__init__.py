"""The rule files that are shipped."""

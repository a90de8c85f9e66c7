"""RF exposure by single formulas, line by line."""

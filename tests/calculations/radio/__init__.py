"""Single formulas of RF exposure."""

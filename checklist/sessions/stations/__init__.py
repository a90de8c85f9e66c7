"""Station files: read, edited, evaluated, and whether the result still holds."""

"""Station files: edited, evaluated, tried otherwise."""

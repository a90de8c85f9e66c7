"""Sessions that ended: found, read whole, corrected."""

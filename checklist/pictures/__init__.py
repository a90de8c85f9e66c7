"""Pictures, each from one description: what is drawn is decided here, and drawn as plain text."""

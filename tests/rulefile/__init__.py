"""What to ask: loading rule files."""

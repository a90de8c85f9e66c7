"""What was recorded: found, read, corrected, exported, audited."""

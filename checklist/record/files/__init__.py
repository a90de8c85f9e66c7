"""Files that a crash cannot destroy, and the clock."""

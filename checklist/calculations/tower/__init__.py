"""Power lines, wind, falls, hoisting and ladders."""

"""Generator, cords, fuel and carbon monoxide."""

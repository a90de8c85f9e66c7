"""The shell's side of the program: what a screen shows, a command prints, as text or JSON."""

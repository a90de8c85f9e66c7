"""The manual: its pages, pictures and commands, and the help screen."""

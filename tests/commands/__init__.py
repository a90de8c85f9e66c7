"""The commands, called as a shell calls them."""

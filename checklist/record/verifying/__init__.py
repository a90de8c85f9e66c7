"""What can be checked about a log folder with nothing but the folder."""

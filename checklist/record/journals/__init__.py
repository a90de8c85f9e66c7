"""One session: begun, written line by line, sealed."""

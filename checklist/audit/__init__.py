"""The safety officer's audit of any number of log folders, offline and streaming."""

"""Locks and tags: hung, taken off, looked up."""

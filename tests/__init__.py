"""The tests; each folder mirrors one of checklist."""

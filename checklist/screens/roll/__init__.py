"""People, keys and receipts; locks and tags."""

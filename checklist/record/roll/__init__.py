"""People and keys: the roster, requests to stand in it, receipts."""

"""A walk kept on record: begun, gone on with, closed, signed, found again."""

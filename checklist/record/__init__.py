"""What is kept: session files, the signed ledger, keys, and files kept by their hash."""

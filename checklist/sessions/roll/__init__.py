"""Who is who here: keys, the officer, receipts."""

"""Tests of walks that are kept on record."""

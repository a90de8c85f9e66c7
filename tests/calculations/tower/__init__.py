"""Tests of the tower calculations."""

"""Tests of the electrical calculations."""

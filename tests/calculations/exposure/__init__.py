"""Tests of the exposure engine against published values and other routes."""

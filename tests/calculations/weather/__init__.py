"""Tests of the weather calculations."""

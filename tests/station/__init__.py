"""Tests of the station file."""

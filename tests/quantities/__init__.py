"""Tests of the quantities: units, reading and display."""

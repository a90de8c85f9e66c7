"""Tests of the invented club."""

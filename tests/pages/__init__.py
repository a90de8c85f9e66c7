"""Tests of printed pages."""

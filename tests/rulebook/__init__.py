"""Tests of the tables and the bibliography."""

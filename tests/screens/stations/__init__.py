"""Tests of checklist/screens/stations."""

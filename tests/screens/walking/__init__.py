"""Tests of checklist/screens/walking."""

"""Tests of checklist/screens/roll."""

"""Tests of checklist/screens/teaching."""

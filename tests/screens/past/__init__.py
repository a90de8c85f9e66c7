"""Tests of checklist/screens/past."""

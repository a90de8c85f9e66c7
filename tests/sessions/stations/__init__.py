"""Tests of checklist/sessions/stations."""

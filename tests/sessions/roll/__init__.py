"""Tests of checklist/sessions/roll."""

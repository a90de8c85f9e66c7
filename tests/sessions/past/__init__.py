"""Tests of checklist/sessions/past."""

"""Tests of checklist/sessions/tagging."""

"""Tests of checklist/sessions/variants."""

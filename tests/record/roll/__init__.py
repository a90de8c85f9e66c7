"""Tests of checklist/record/roll."""

"""Tests of checklist/record/journals."""

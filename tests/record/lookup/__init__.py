"""Tests of checklist/record/lookup."""

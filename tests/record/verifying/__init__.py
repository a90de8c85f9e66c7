"""Tests of checklist/record/verifying."""

"""Tests of checklist/record/files."""

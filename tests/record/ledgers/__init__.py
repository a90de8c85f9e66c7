"""Tests of checklist/record/ledgers."""

"""Tests of the bonding calculations."""

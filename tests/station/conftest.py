"""The shipped tables, read once for all tests of the station file."""

from __future__ import annotations

from tests.calculations.conftest import book

__all__ = ["book"]

"""A whole invented station, and what the loader says about it after a change."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from checklist.station import Known, Station, StationRefused, load_station

WHOLE = (Path(__file__).parent / "whole.yaml").read_text("utf-8")


def changed(*pairs: tuple[str, str]) -> str:
    """Return the whole station's text with each first text, found exactly once, replaced."""
    text = WHOLE
    for old, new in pairs:
        assert text.count(old) == 1, (text.count(old), old)
        text = text.replace(old, new)
    return text


@cache
def whole() -> Station:
    """Return the whole station."""
    return load_station(WHOLE, "station.yaml")


def loaded(*pairs: tuple[str, str]) -> Station:
    """Return the whole station after the replacements."""
    return load_station(changed(*pairs), "station.yaml")


def errors(*pairs: tuple[str, str], known: Known | None = None) -> list[str]:
    """Return what is said about the whole station after the replacements."""
    with pytest.raises(StationRefused) as refused:
        load_station(changed(*pairs), "station.yaml", known)
    return refused.value.errors

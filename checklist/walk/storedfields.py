"""Fields of stored data, read strictly: a field is what its kind says, or it is refused."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any

from checklist.errors import StandclearError
from checklist.quantities import UNITS, Quantity

Data = dict[str, Any]
"""Text, lists and mappings only."""

_DECIMAL = re.compile(r"-?\d+(\.\d+)?", re.ASCII)
_WHOLE = re.compile(r"\d{1,18}", re.ASCII)


class RecordUnreadable(StandclearError):
    """Stored data is not an event that this program knows."""


def text_at(data: Mapping[str, Any], key: str) -> str:
    """Return the text under a key; raises RecordUnreadable where it is another thing."""
    value = data[key]
    if not isinstance(value, str):
        raise RecordUnreadable(f"“{key}” is not a text")
    return value


def texts_at(data: Mapping[str, Any], key: str) -> tuple[str, ...]:
    """Return a list of texts; none where the key is left out."""
    value = data.get(key, [])
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        raise RecordUnreadable(f"“{key}” is not a list of texts")
    return tuple(value)


def texts_by_name(data: Mapping[str, Any], key: str) -> dict[str, str]:
    """Return texts by their names; raises RecordUnreadable where it is another thing."""
    value = data[key]
    if not isinstance(value, dict) or not all(isinstance(v, str) for v in value.values()):
        raise RecordUnreadable(f"“{key}” is not texts by their names")
    return dict(value)


def quantity_from(text: str, typed: str) -> Quantity:
    """Return what was understood, as decimal text with its unit, with what was typed."""
    number, _, symbol = text.partition(" ")
    if not _DECIMAL.fullmatch(number):
        raise RecordUnreadable(f"“{text}” is not a quantity")
    return Quantity(Decimal(number), UNITS[symbol], typed)


def size_at(data: Mapping[str, Any]) -> int:
    """Return a number of bytes."""
    text = text_at(data, "size")
    if not _WHOLE.fullmatch(text):
        raise RecordUnreadable("“size” is not a number of bytes")
    return int(text)


def moment_at(data: Mapping[str, Any], key: str) -> datetime:
    """Return a time with its offset."""
    moment = datetime.fromisoformat(text_at(data, key))
    if moment.tzinfo is None:
        raise RecordUnreadable(f"“{key}” is a time without its offset")
    return moment

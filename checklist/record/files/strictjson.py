"""JSON in one spelling only, so that what is hashed and what is read cannot differ.

A document is accepted only if writing it again gives the same bytes. Floats do not
exist here: a number with a fraction is a decimal string with its unit.
"""

from __future__ import annotations

import json
from json.encoder import encode_basestring
from typing import TYPE_CHECKING, Any, NoReturn, TypeAlias

from checklist.record.errors import RecordError

if TYPE_CHECKING:
    from collections.abc import Mapping

Json: TypeAlias = "str | int | bool | list[Json] | dict[str, Json] | None"
"""What may be kept: text, whole numbers, truth values, nothing, lists and objects of these."""

DEEPEST = 16
"""Levels of lists and objects inside each other."""

LARGEST_WHOLE = 2**53 - 1
"""The largest whole number that every JSON reader keeps exactly (RFC 8259, section 6)."""

_MOST_DIGITS = 16

_READ = json.JSONDecoder().decode
_WRITE = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), check_circular=False).encode


class JsonRefused(RecordError):
    """A document is not JSON in the one spelling that the record accepts."""


def dump(data: Mapping[str, object]) -> bytes:
    """Return the one spelling of `data` as UTF-8; JsonRefused where it holds anything else."""
    return encoded(spell(data))


def spell(value: object, depth: int = 1) -> str:
    """Return the one spelling of a value; JsonRefused where it holds what cannot be kept.

    It checks and writes in one pass, because a person waits for it; that what it writes is
    JSON is tested against Python's own reader.
    """
    if isinstance(value, str):
        return encode_basestring(value)
    if isinstance(value, dict):
        _require_depth(depth)
        return "{" + _pairs(value, depth + 1) + "}"
    if isinstance(value, list):
        _require_depth(depth)
        return "[" + ",".join([spell(item, depth + 1) for item in value]) + "]"
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and abs(value) <= LARGEST_WHOLE:
        return str(int(value))
    raise JsonRefused(
        f"{str(value)[:40]!r} cannot be kept",
        right=f"Write it as text; whole numbers go up to {LARGEST_WHOLE}.",
    )


def encoded(text: str) -> bytes:
    """Return a spelled text as UTF-8; JsonRefused where it holds half of a character pair."""
    try:
        return text.encode()
    except UnicodeEncodeError:
        raise JsonRefused("a text holds half of a character pair (a lone surrogate)") from None


def parse(data: bytes) -> dict[str, Json]:
    """Return the object that `data` spells; JsonRefused for every other spelling or value."""
    found = _at_once(data)
    return _part_by_part(data) if found is None else found


def _at_once(data: bytes) -> dict[str, Json] | None:
    """Return what Python's own reader and writer make of `data`, where that is all in order.

    They know no bounds, so what was read is looked through; None where anything is odd. Then
    `_part_by_part`, which alone decides what is refused and why, reads it again, much slower.
    """
    try:
        found = _READ(data.decode("utf-8"))
        if type(found) is dict and _is_kept(found, DEEPEST) and _WRITE(found).encode() == data:
            return found
    except (ValueError, RecursionError):
        pass
    return None


def _is_kept(value: Any, levels: int) -> bool:
    """Say whether all that is in a list or an object may be kept, so many levels deep."""
    items = value.values() if type(value) is dict else value
    for item in items:
        kind = type(item)
        if kind is str or kind is bool or item is None:
            continue
        if kind is int:
            if not -LARGEST_WHOLE <= item <= LARGEST_WHOLE:
                return False
        elif kind is float or levels == 1 or not _is_kept(item, levels - 1):
            return False
    return True


def _part_by_part(data: bytes) -> dict[str, Json]:
    try:
        found = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=_object,
            parse_float=_no_float,
            parse_constant=_no_float,
            parse_int=_whole,
        )
    except RecursionError:
        raise JsonRefused(f"it is nested more than {DEEPEST} levels deep") from None
    except ValueError as problem:  # UnicodeDecodeError and JSONDecodeError are among them
        raise JsonRefused(f"it is not JSON in UTF-8 ({problem})") from None
    if not isinstance(found, dict):
        raise JsonRefused("it is not a JSON object")
    if dump(found) != data:
        raise JsonRefused("it is not spelled as this program spells it")
    return found


def _pairs(data: dict[str, object], depth: int) -> str:
    for key in data:
        if not isinstance(key, str):
            raise JsonRefused(f"the key {key!r} is not text")
    return ",".join(
        [
            f"{encode_basestring(key)}:{encode_basestring(item)}"
            if isinstance(item, str)
            else f"{encode_basestring(key)}:{spell(item, depth)}"
            for key, item in data.items()
        ]
    )


def _require_depth(depth: int) -> None:
    if depth > DEEPEST:
        raise JsonRefused(f"it is nested more than {DEEPEST} levels deep")


def _object(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise JsonRefused("an object names one key twice")
    return found


def _whole(digits: str) -> int:
    # Digits are counted before they are read: thousands of them would take seconds.
    if len(digits.lstrip("-")) > _MOST_DIGITS:
        raise JsonRefused(f"a number has more than {_MOST_DIGITS} digits")
    return int(digits)


def _no_float(text: str) -> NoReturn:
    raise JsonRefused(f"the number {text[:20]} has a fraction or is not finite")

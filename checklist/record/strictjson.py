"""JSON in one spelling only, so that what is hashed and what is read cannot differ.

A document is accepted only if writing it again gives the same bytes. Floats do not
exist here: a number with a fraction is a decimal string with its unit.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, NoReturn, TypeAlias

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
_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


class JsonRefused(RecordError):
    """A document is not JSON in the one spelling that the record accepts."""


def dump(data: Mapping[str, object]) -> bytes:
    """Return the one spelling of `data` as UTF-8; JsonRefused where it holds anything else."""
    return dump_text(data).encode()


def dump_text(data: Mapping[str, object]) -> str:
    """Return the one spelling of `data`; JsonRefused where it holds anything else."""
    _require(data, 1)
    text = _ENCODER.encode(data)
    if not text.isascii() and any("\ud800" <= character <= "\udfff" for character in text):
        raise JsonRefused("a text holds half of a character pair (a lone surrogate)")
    return text


def parse(data: bytes) -> dict[str, Json]:
    """Return the object that `data` spells; JsonRefused for every other spelling or value."""
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


def _require(value: object, depth: int) -> None:
    if depth > DEEPEST + 1:
        raise JsonRefused(f"it is nested more than {DEEPEST} levels deep")
    if value is None or isinstance(value, str):
        return
    if isinstance(value, int):
        if abs(value) > LARGEST_WHOLE:
            raise JsonRefused(f"the number {value} is beyond {LARGEST_WHOLE}")
    elif isinstance(value, list):
        for item in value:
            _require(item, depth + 1)
    elif isinstance(value, dict):
        for key, item in value.items():
            if not isinstance(key, str):
                raise JsonRefused(f"the key {key!r} is not text")
            _require(item, depth + 1)
    else:
        raise JsonRefused(f"a {type(value).__name__} cannot be kept", right="Write it as text.")


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

"""All lines of a session file in one go, where the file is in form; the strict reader has the rest.

What stands here accepts nothing that the strict reader does not: a file of which anything looks
odd gives no line, and is read by `record.journals.lines.scan`, which says what is wrong.
"""

from __future__ import annotations

import json
import re
from json.encoder import JSONEncoder
from typing import Any

from checklist.record.errors import RecordError
from checklist.record.files.strictjson import DEEPEST, LARGEST_WHOLE
from checklist.record.journals.lines import (
    LONGEST_LINE,
    Line,
    first_previous,
    hash_of,
    line_of,
)


def lines_at_once(data: bytes, session_id: str) -> tuple[Line, ...]:
    """Return the lines of a whole session file; none where any part of it is not as expected."""
    pieces = data.split(b"\n")[:-1]
    if not data.endswith(b"\n") or max(map(len, pieces)) >= LONGEST_LINE:
        return ()
    if not all(map(_is_shallow, pieces)):
        return ()
    try:
        spelled = f"[{data[:-1].decode().replace(_NEWLINE, ',')}]"
        found = _DECODER.decode(spelled)
        if _SPELL(found) != spelled or len(found) != len(pieces):
            return ()
        return _chained(found, pieces, session_id)
    except (RecordError, ValueError, TypeError, RecursionError):
        return ()


def _chained(found: list[Any], pieces: list[bytes], session_id: str) -> tuple[Line, ...]:
    lines: list[Line] = []
    previous = first_previous(session_id)
    for number, (one, piece) in enumerate(zip(found, pieces, strict=True), start=1):
        line = line_of(one)
        if (line.number, line.previous) != (number, previous):
            return ()
        previous = hash_of(piece + b"\n")
        lines.append(line)
    return tuple(lines)


def _is_shallow(piece: bytes) -> bool:
    """Say whether a line is not nested too deep; a bracket in a text may make it seem so."""
    brackets = piece.translate(None, _NO_BRACKETS)
    for _ in range(DEEPEST):
        if not brackets:
            return True
        brackets = _INNERMOST.sub(b"", brackets)
    return not brackets


def _refused(text: str) -> None:
    raise ValueError(text)


def _whole(digits: str) -> int:
    number = int(digits)
    if abs(number) > LARGEST_WHOLE:
        raise ValueError(digits)
    return number


_NEWLINE = "\n"
_NO_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))
_INNERMOST = re.compile(rb"\{\}|\[\]")
_DECODER = json.JSONDecoder(parse_float=_refused, parse_constant=_refused, parse_int=_whole)
"""Python's own reader: the record holds neither fractions nor NaN."""

_SPELL = JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
"""Writes what was read in the one spelling; a key twice, an escape or a blank differ from it."""

"""Several notes in one file, byte for byte, to be carried from one laptop to another.

A line with the title, a line with the count, then for each note a line with its size in
bytes, and its bytes. What is in it proves itself by its signatures and hashes; the file adds
nothing that needs to be believed.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged
from checklist.record.ledgers.notes import LARGEST_NOTE

if TYPE_CHECKING:
    from collections.abc import Iterable

ENTRIES = "standclear entries 1"
"""Title of a file of ledger entries."""

ROSTER = "standclear roster versions 1"
"""Title of a file of roster versions."""

LARGEST_BUNDLE = 256 * 1024 * 1024
"""Bytes in one file."""

_COUNT = re.compile(rb"0|[1-9][0-9]{0,7}")


def pack(title: str, pieces: Iterable[bytes]) -> bytes:
    """Return the file that holds these notes."""
    whole = list(pieces)
    parts = [f"{title}\n{len(whole)}\n".encode()]
    for piece in whole:
        parts += [f"{len(piece)}\n".encode(), piece]
    return b"".join(parts)


def unpack(title: str, data: bytes) -> list[bytes]:
    """Return the notes of a file; Damaged unless it is exactly what `pack` would make."""
    first, at = _line(data, 0)
    if first != title.encode():
        raise Damaged(f"this file does not begin with '{title}'", right="Name the right file.")
    count, at = _number(data, at)
    pieces: list[bytes] = []
    for _ in range(count):
        size, at = _number(data, at)
        if size > LARGEST_NOTE or at + size > len(data):
            raise Damaged("the file is cut off", right="Carry it over again.")
        pieces.append(data[at : at + size])
        at += size
    if at != len(data):
        raise Damaged("the file holds more than it announces", right="Carry it over again.")
    return pieces


def _number(data: bytes, at: int) -> tuple[int, int]:
    text, after = _line(data, at)
    if not _COUNT.fullmatch(text):
        raise Damaged("the file is cut off or changed", right="Carry it over again.")
    return int(text), after


def _line(data: bytes, at: int) -> tuple[bytes, int]:
    end = data.find(b"\n", at, at + 64)
    if end < 0:
        raise Damaged("the file is cut off or changed", right="Carry it over again.")
    return data[at:end], end + 1

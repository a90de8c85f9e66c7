"""Codes of a few characters, to be read aloud, written on paper and typed in for comparison."""

from __future__ import annotations

import re
from contextlib import suppress

from checklist.record.errors import KeyRefused
from checklist.record.journals.lines import hash_of

KEY_DIGITS = 20
"""Hex digits in the code of a key: 80 bits, since whoever makes keys may try very many of them."""

HEAD_DIGITS = 16
"""Hex digits in the code of a ledger's newest entry: 64 bits."""

FEWEST_DIGITS = 8
"""Hex digits below which a comparison says nothing: 32 bits find a chance change, no forger."""

_LONGEST_NUMBER = 9
"""Characters that no number of an entry has."""

_DIGITS = re.compile(r"[0-9a-f]{8,64}")


def key_code(public: str) -> str:
    """Return the code by which two people on the telephone compare a public key."""
    return grouped(hash_of(bytes.fromhex(public))[:KEY_DIGITS])


def head_code(sha256: str) -> str:
    """Return the code of an entry's hash, for the paper log."""
    return grouped(sha256[:HEAD_DIGITS])


def grouped(digits: str) -> str:
    """Return hex digits in groups of four."""
    return "-".join(digits[at : at + 4] for at in range(0, len(digits), 4))


def typed_digits(text: str) -> str:
    """Return the hex digits of a code as somebody typed it; KeyRefused where it is none."""
    digits = re.sub(r"[\s-]+", "", text).lower()
    if not _DIGITS.fullmatch(digits):
        raise KeyRefused(
            "this is no code",
            right=f"A code is {FEWEST_DIGITS} to 64 of the characters 0-9 and a-f, dashes aside.",
        )
    return digits


def code_readings(text: str) -> tuple[tuple[int | None, str], ...]:
    """Return what a typed code can mean: number of an entry, or None, and hex digits.

    The paper log has the number before the code, and the first group of a code that is typed
    with blanks may look like one: then both are returned. KeyRefused where it is no code.
    """
    number, _, rest = text.strip().partition(" ")
    found: list[tuple[int | None, str]] = []
    if number.isascii() and number.isdecimal() and len(number) < _LONGEST_NUMBER:
        with suppress(KeyRefused):  # then it is a code alone, or none
            found.append((int(number), typed_digits(rest)))
    try:
        found.append((None, typed_digits(text)))
    except KeyRefused:
        if not found:
            raise
    return tuple(found)


def is_key_code(text: str, public: str) -> bool:
    """Say whether a typed code, whole, is the one of this key."""
    digits = typed_digits(text)
    return len(digits) >= KEY_DIGITS and hash_of(bytes.fromhex(public)).startswith(digits)

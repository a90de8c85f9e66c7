"""Text from people and files is data: what may enter, and what may reach a terminal.

Two doors and no third. `accept` is asked where text enters (a field, a file, an
argument) and refuses what cannot be kept faithfully; `shown` is asked where text
leaves for a screen or a printer and makes the harmful visible instead of acting
on it. Signed bytes pass through neither: they are stored as they were signed.
"""

from __future__ import annotations

import unicodedata

from checklist.errors import StandclearError

LONGEST = 4000
"""Characters accepted in one text; more belongs in an attached file."""

_LINE_BREAKS = {"\n", "\t"}

# Explicit bidirectional controls reorder what a reader sees; zero-width characters hide
# differences between two names. ZWJ and ZWNJ (200C, 200D) shape real scripts and are kept.
_DECEIVING = {
    *map(chr, range(0x202A, 0x202F)),
    *map(chr, range(0x2066, 0x206A)),
    "\u200b",
    "\u200e",
    "\u200f",
    "\u061c",
    "\u2028",
    "\u2029",
    "\ufeff",
}


class TextRefused(StandclearError):
    """A text holds something that cannot be kept or shown faithfully."""


def accept(text: str, *, field: str, longest: int = LONGEST, lines: bool = False) -> str:
    """Return `text` in Unicode NFC, stripped at both ends, ready to be kept.

    `lines` allows line breaks (and tabs); without it a text is one line. Raises
    TextRefused naming `field` for control characters, terminal escapes, bidirectional
    or invisible controls, lone surrogates, or more than `longest` characters.
    """
    for position, character in enumerate(text, start=1):
        if lines and character in _LINE_BREAKS:
            continue
        if _is_harmful(character):
            raise TextRefused(
                f"character {position} is {_named(character)}, which cannot be kept",
                where=field,
                right="Type it again in plain characters.",
            )
    clean = unicodedata.normalize("NFC", text).strip()
    if len(clean) > longest:
        raise TextRefused(
            f"the text has {len(clean)} characters",
            where=field,
            right=f"At most {longest} fit; attach a file for more.",
        )
    return clean


def shown(text: str, *, lines: bool = False) -> str:
    """Return `text` with every harmful character written out as its code point.

    Never raises: old files and other people's folders must be readable. A newline
    stays only where `lines` is set, and is written out as a space otherwise.
    """
    if text.isprintable() and not any(c in _DECEIVING for c in text):
        return text
    return "".join(_visible(character, lines=lines) for character in text)


def _visible(character: str, *, lines: bool) -> str:
    if character in _LINE_BREAKS:
        return character if lines and character == "\n" else " "
    return f"<{_named(character)}>" if _is_harmful(character) else character


def _is_harmful(character: str) -> bool:
    return character in _DECEIVING or unicodedata.category(character) in {"Cc", "Cs", "Co", "Cn"}


def _named(character: str) -> str:
    return f"U+{ord(character):04X}"

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

# Explicit bidirectional controls reorder what a reader sees; characters that print nothing
# hide differences between two names, or fill a field with blanks. Most have the Unicode
# property Default_Ignorable_Code_Point. ZWNJ and ZWJ (200C, 200D) shape real scripts and
# are kept, and so are the selectors FE00 to FE0F that stand behind many signs.
_DECEIVING = frozenset(
    chr(code)
    for first, last in (
        (0x00AD, 0x00AD),
        (0x034F, 0x034F),
        (0x061C, 0x061C),
        (0x115F, 0x1160),
        (0x17B4, 0x17B5),
        (0x180B, 0x180F),
        (0x200B, 0x200B),
        (0x200E, 0x200F),
        (0x2028, 0x202E),
        (0x2060, 0x206F),
        (0x2800, 0x2800),
        (0x3164, 0x3164),
        (0xFEFF, 0xFEFF),
        (0xFFA0, 0xFFA0),
        (0xFFF0, 0xFFFB),
        (0xE0000, 0xE0FFF),
    )
    for code in range(first, last + 1)
)


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


def says_something(text: str) -> bool:
    """Return whether `text` holds at least one letter or digit: dots and blanks say nothing."""
    return any(character.isalnum() for character in text)


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

"""Marks a log folder as an invented club's, once and for every copy of it."""

from __future__ import annotations

from pathlib import Path

from checklist.sessions.invented import MARK

_TEXT = """\
EVERYTHING IN THIS FOLDER IS INVENTED.

No such club, station, place or person exists; call signs that begin with Q cannot be allocated.
The keys come from a number that anybody can know, and their passphrase is shown. Nothing here
says anything about any real work. See INVENTED.txt beside the laptops' folders.
"""


def mark(logs: Path) -> None:
    """Put the mark into a log folder."""
    (logs / MARK).write_text(_TEXT, encoding="utf-8", newline="\n")

"""Which version of a written form a text has, and the refusal of one that is later than ours."""

from __future__ import annotations

import re

from checklist import __version__
from checklist.record.errors import Damaged, LaterForm

_PROGRAM = re.compile(r"standclear (\d{1,4})\.(\d{1,4})\.(\d{1,4})")
_NAMED = re.compile(r"(standclear [a-z ]{1,40}) ([1-9][0-9]{0,8})")


def refuse_later(found: object, title: str, program: object = "") -> None:
    """Raise LaterForm where `found` names a later version of the form that `title` names.

    `program` is what the text says wrote it; Damaged where that is a version which never wrote the
    later form. Anything else than a later form passes: the reader of the form judges it.
    """
    theirs = _NAMED.fullmatch(found) if isinstance(found, str) else None
    ours = _NAMED.fullmatch(title)
    if theirs is None or ours is None or theirs[1] != ours[1] or int(theirs[2]) <= int(ours[2]):
        return
    if _is_no_later_than_ours(program):
        raise Damaged(
            f"it names the form '{theirs[0]}', which {program} never wrote: it was changed",
            right="Restore it from a copy.",
        )
    writer = program if isinstance(program, str) and program else "a later version"
    raise LaterForm(
        f"it has the form '{theirs[0]}' and was written by {writer}; this program reads '{title}'",
        right="Nothing need be wrong with it: read it with that version of the program.",
    )


def _is_no_later_than_ours(program: object) -> bool:
    theirs = _PROGRAM.fullmatch(program) if isinstance(program, str) else None
    ours = _PROGRAM.fullmatch(f"standclear {__version__}")
    if theirs is None or ours is None:
        return False
    return [int(part) for part in theirs.groups()] <= [int(part) for part in ours.groups()]


def program_in(text: str) -> str:
    """Return what the first line `program ...` of a text of lines says, or an empty text."""
    lines = (line for line in text.split("\n") if line.startswith("program "))
    return next(lines, "").removeprefix("program ")

"""Which version of a written form a text has, and the refusal of one that is later than ours."""

from __future__ import annotations

import re

from checklist.record.errors import LaterForm

_NAMED = re.compile(r"(standclear [a-z ]{1,40}) ([1-9][0-9]{0,8})")


def refuse_later(found: object, title: str, program: object = "") -> None:
    """Raise LaterForm where `found` names a later version of the form that `title` names.

    `program` is what the text says wrote it. Anything else than a later version passes: the
    reader of the form judges it.
    """
    theirs = _NAMED.fullmatch(found) if isinstance(found, str) else None
    ours = _NAMED.fullmatch(title)
    if theirs is None or ours is None or theirs[1] != ours[1] or int(theirs[2]) <= int(ours[2]):
        return
    writer = program if isinstance(program, str) and program else "a later version"
    raise LaterForm(
        f"it has the form '{theirs[0]}' and was written by {writer}; this program reads '{title}'",
        right="Nothing need be wrong with it: read it with that version of the program.",
    )


def program_in(text: str) -> str:
    """Return what the first line `program ...` of a text of lines says, or an empty text."""
    lines = (line for line in text.split("\n") if line.startswith("program "))
    return next(lines, "").removeprefix("program ")

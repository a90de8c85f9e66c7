"""Turns a page laid out for the eye into lines that a screen reader reads well."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

_DRAWN = re.compile("[\u2500-\u25ff\u2800-\u28ff]+")
"""Box drawing, blocks, geometric shapes and braille patterns."""

_BRANCH = re.compile(r"(?P<above>(?:[|] {3}| {4})*)[+]-- (?P<what>.*)")
_LEADER = re.compile(r"\s*\.{4,}\s*")
_COLUMNS = re.compile(r"(?P<before>\S)\s{2,}(?=\S)")
_STEP = 4
"""Columns that one level of a tree takes."""


def spoken(lines: Iterable[str]) -> Iterator[str]:
    """Yield the lines without drawing, columns and leaders; a branch of a tree as a sentence.

    No word is lost, and lines that hold nothing but drawing are left out. A line that is
    followed on stays a line of its own, since that is where a reader pauses.
    """
    above: list[str] = []
    for line in "\n".join(lines).split("\n"):
        branch = _BRANCH.fullmatch(line.rstrip())
        if branch:
            depth = len(branch["above"]) // _STEP
            what = _told(branch["what"])
            del above[depth + 1 :]
            yield _ended(f"{what} hangs on {_name(above[depth])}" if depth < len(above) else what)
            above.append(what)
            continue
        told = _told(line)
        above = [told]
        if told or not line.strip():
            yield _ended(told)


def _told(line: str) -> str:
    text = _LEADER.sub(": ", _DRAWN.sub(" ", line)).strip()
    text = _COLUMNS.sub(lambda m: m["before"] + (" " if m["before"] in ".,:;" else ", "), text)
    return text if any(character.isalnum() for character in text) else ""


def _name(told: str) -> str:
    return told.partition(",")[0].partition(" [")[0]


def _ended(text: str) -> str:
    """Return the text with a full stop, unless its end is something to be copied."""
    last = text.rpartition(" ")[2]
    is_copied = "standclear " in text or any(sign in last for sign in "/\\<>=_@")
    return (
        f"{text}."
        if text and not is_copied and (text[-1].isalnum() or text[-1] in ')]%”"')
        else text
    )

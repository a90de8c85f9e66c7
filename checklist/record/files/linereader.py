"""Takes apart a text of `word value` lines that stand in one order."""

from __future__ import annotations

import re

from checklist.record.errors import Damaged
from checklist.record.files.forms import program_in, refuse_later

_COUNT = re.compile(r"0|[1-9][0-9]{0,14}")


class LineReader:
    """The lines of one text, taken one after the other; Damaged where another is due."""

    def __init__(self, text: str, title: str) -> None:
        self._lines = text.removesuffix("\n").split("\n")
        self._next = 1
        refuse_later(self._lines[0], title, program_in(text))
        if self._lines[0] != title:
            raise Damaged(f"it does not begin with '{title}'")

    def due(self, word: str) -> str:
        """Return the value of the next line, which must begin with `word`."""
        value = self.maybe(word)
        if value is None:
            raise Damaged(f"it does not state its {word} where it is due")
        return value

    def maybe(self, word: str) -> str | None:
        """Return the value of the next line if it begins with `word`, and go past it."""
        if self._next < len(self._lines) and self._lines[self._next].startswith(f"{word} "):
            self._next += 1
            return self._lines[self._next - 1].removeprefix(f"{word} ")
        return None

    def parts(self, word: str, count: int) -> list[str]:
        """Return the value of the next line in `count` parts; the last may hold blanks."""
        return split(self.due(word), count)

    def end(self) -> None:
        """Raise Damaged unless every line has been taken."""
        if self._next != len(self._lines):
            raise Damaged(f"line {self._next + 1} is not due there")


def split(value: str, count: int) -> list[str]:
    """Return a value in `count` parts; Damaged where it has fewer."""
    parts = value.split(" ", count - 1)
    if len(parts) != count:
        raise Damaged("a line has too few parts")
    return parts


def whole(text: str) -> int:
    """Return a whole number in its one spelling; Damaged for anything else."""
    if not _COUNT.fullmatch(text):
        raise Damaged(f"{text[:40]!r} is no whole number")
    return int(text)

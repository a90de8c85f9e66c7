"""Reads single lines of an answer, strictly: a person, a date, a tag."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from checklist.errors import StandclearError
from checklist.names import lock_number
from checklist.plaintext import accept, says_something
from checklist.rulefile import (
    Role,
)
from checklist.walk.answers import (
    HungTag,
    Person,
)

LONGEST_NAME = 80


ASIDE_WORDS = frozenset({"n/a", "does not apply"})
"""What can be typed, at a step of any kind, for that it does not apply."""


class AnswerRefused(StandclearError):
    """What was typed is not an answer to this step."""


def sets_aside(typed: str) -> bool:
    """Whether the text says that the step does not apply."""
    return " ".join(typed.split()).casefold() in ASIDE_WORDS


def read_person(line: str) -> Person:
    """Return the person in `Name, role` or `Name, role, trained 2025-04-01`."""
    parts = [accept(p, field="person", longest=LONGEST_NAME) for p in line.split(",")]
    if len(parts) not in (2, 3) or not says_something(parts[0]):
        raise AnswerRefused(
            f"“{line.strip()}” is not a name and a role",
            right="Write: Name, role, or: Name, role, trained 2025-04-01.",
        )
    if parts[1] not in set(Role):
        raise AnswerRefused(f"“{parts[1]}” is not a role", right=f"There are {', '.join(Role)}.")
    trained = parts[2].removeprefix("trained").strip() if len(parts) == 3 else ""
    return Person(parts[0], Role(parts[1]), read_date(trained) if trained else "")


def read_date(text: str) -> str:
    """Return an ISO date; `2025-04` stands for its first day."""
    whole = f"{text}-01" if len(text) == len("2025-04") else text
    try:
        return date.fromisoformat(whole).isoformat()
    except ValueError:
        raise AnswerRefused(
            f"“{text}” is not a date", where="training", right="Write it as 2025-04-01 or 2025-04."
        ) from None


def read_tag(line: str) -> HungTag:
    """Return the tag in `point, lock, person`."""
    parts = [accept(p, field="tag", longest=LONGEST_NAME) for p in line.split(",")]
    if len(parts) != 3 or not all(map(says_something, parts)):
        raise AnswerRefused(
            f"“{line.strip()}” is not a point, a lock and a person",
            right="Write: mark at the point, number of the lock, who hung it.",
        )
    point, lock, person = parts
    return HungTag(point, lock_number(lock), person)


def lines_in(typed: Any) -> Sequence[str]:
    """Return the lines that say something, of a list or of one text; refused otherwise."""
    lines = typed.splitlines() if isinstance(typed, str) else typed
    if not isinstance(lines, list | tuple):
        raise AnswerRefused("a list of lines is needed", right="Write each on a line of its own.")
    return [accept(text, field="line") for line in lines if (text := one_text(line)).strip()]


def one_text(typed: Any) -> str:
    """Return the text; refused where it is another thing."""
    if not isinstance(typed, str):
        raise AnswerRefused("one text is needed here", right="Write it as one text.")
    return typed

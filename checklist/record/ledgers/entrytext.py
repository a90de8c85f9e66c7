"""One entry of the ledger as readable text, and back, without a letter of difference.

The text is lines of `word value`, in one order. Everything that a person typed stands last
on its line and is one line of plain text, so that it can never pass for another line.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, TypeVar

from checklist.record.errors import Damaged, EntryRefused, KeyRefused, RecordError
from checklist.record.files.clock import read_stamp, stamp
from checklist.record.files.forms import program_in, refuse_later
from checklist.record.journals.journal import FileMark
from checklist.record.ledgers.entries import Entry, RuleMark, Signer, check

if TYPE_CHECKING:
    from collections.abc import Callable

TITLE = "standclear ledger entry 1"
"""The first line of every entry: the format and its version."""

_COUNT = re.compile(r"0|[1-9][0-9]{0,14}")
_T = TypeVar("_T")


def to_text(entry: Entry) -> str:
    """Return the entry's text; EntryRefused where it could not be read back the same."""
    check(entry)
    lines = [
        TITLE,
        f"origin {entry.origin}",
        f"number {entry.number}",
        f"previous {entry.previous}",
        f"kind {entry.kind}",
        f"time {stamp(entry.at)}",
        f"program {entry.program}",
    ]
    if entry.session is not None:
        lines.append(f"session {entry.session}")
    if entry.file is not None:
        lines.append(f"file {entry.file.sha256} {entry.file.size}")
    if entry.verdict is not None:
        lines.append(f"verdict {entry.verdict}")
    if entry.rule is not None:
        lines.append(f"rule {entry.rule.sha256} {entry.rule.edition} {entry.rule.name}")
    if entry.target is not None:
        lines.append(f"target {entry.target}")
    lines += [
        f"signer {s.key} {'here' if s.is_here else 'missing'} {s.role.replace(' ', '-')} {s.person}"
        for s in entry.signers
    ]
    lines += [f"field {name} {value}" for name, value in entry.fields]
    return "\n".join(lines) + "\n"


def from_text(text: str) -> Entry:
    """Return the entry that `text` spells; Damaged for anything that `to_text` would not write."""
    try:
        entry = _Reader(text).entry()
        spelled = to_text(entry)
    except (EntryRefused, KeyRefused, ValueError) as problem:
        said = problem.what if isinstance(problem, RecordError) else str(problem)
        raise Damaged(f"the entry is not in form: {said}") from problem
    if spelled != text:
        raise Damaged("the entry is not spelled in the one form that is accepted")
    return entry


class _Reader:
    """Takes the lines of an entry one after the other."""

    def __init__(self, text: str) -> None:
        self._lines = text.removesuffix("\n").split("\n")
        refuse_later(self._lines[0], TITLE, program_in(text))
        self._next = 0

    def entry(self) -> Entry:
        if self._line() != TITLE:
            raise Damaged(f"the entry does not begin with '{TITLE}'")
        origin, number = self._due("origin"), self._due("number")
        previous, kind = self._due("previous"), self._due("kind")
        at, program = read_stamp(self._due("time")), self._due("program")
        if not _COUNT.fullmatch(number):
            raise Damaged(f"{number[:40]!r} is no number of an entry")
        entry = Entry(
            kind, self._maybe("session"), self._parsed("file", _file), self._maybe("verdict"),
            self._parsed("rule", _rule), self._maybe("target"),
            tuple(map(_signer, self._all("signer"))), tuple(map(_field, self._all("field"))),
            origin=origin, number=int(number), previous=previous, at=at, program=program,
        )  # fmt: skip
        if self._next != len(self._lines):
            raise Damaged(f"line {self._next + 1} of the entry is not due there")
        return entry

    def _line(self) -> str:
        line = self._lines[self._next] if self._next < len(self._lines) else ""
        self._next += 1
        return line

    def _due(self, word: str) -> str:
        value = self._maybe(word)
        if value is None:
            raise Damaged(f"the entry does not state its {word} where it is due")
        return value

    def _maybe(self, word: str) -> str | None:
        if self._next < len(self._lines) and self._lines[self._next].startswith(f"{word} "):
            return self._line().removeprefix(f"{word} ")
        return None

    def _parsed(self, word: str, read: Callable[[str], _T]) -> _T | None:
        value = self._maybe(word)
        return None if value is None else read(value)

    def _all(self, word: str) -> list[str]:
        found = []
        while (value := self._maybe(word)) is not None:
            found.append(value)
        return found


def _file(value: str) -> FileMark:
    sha256, _, size = value.partition(" ")
    if not _COUNT.fullmatch(size):
        raise Damaged("a file's size is no whole number")
    return FileMark(sha256, int(size))


def _rule(value: str) -> RuleMark:
    sha256, edition, name = _parts(value, 3)
    return RuleMark(name, edition, sha256)


def _signer(value: str) -> Signer:
    key, presence, role, person = _parts(value, 4)
    if presence not in {"here", "missing"}:
        raise Damaged("a signer is neither here nor missing")
    return Signer(person, role.replace("-", " "), key, presence == "here")


def _field(value: str) -> tuple[str, str]:
    name, text = _parts(value, 2)
    return name, text


def _parts(value: str, count: int) -> list[str]:
    parts = value.split(" ", count - 1)
    if len(parts) != count:
        raise Damaged("a line of the entry has too few parts")
    return parts

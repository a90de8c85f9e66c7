"""One version of the roster as readable text, and back, without a letter of difference."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.record.errors import Damaged, LaterForm
from checklist.record.files.clock import read_stamp, stamp
from checklist.record.files.linereader import LineReader, split, whole
from checklist.record.roll.people import KeyTerm, Member, Version, check_version

if TYPE_CHECKING:
    from collections.abc import Iterable

TITLE = "standclear roster 1"
"""The first line of every roster: the format and its version."""

NOTHING = "-"
"""Stands where a line has nothing to say."""


def to_text(version: Version) -> str:
    """Return the roster's text; EntryRefused where it could not be read back the same."""
    check_version(version)
    lines = [
        TITLE,
        f"number {version.number}",
        f"previous {version.previous}",
        f"time {stamp(version.at)}",
        f"program {version.program}",
        f"officer {version.officer} {version.officer_name}",
    ]
    for member in version.members:
        trained = member.trained.isoformat() if member.trained else NOTHING
        roles = spelled_roles(member.roles)
        lines.append(f"person {member.call_sign or NOTHING} {roles} {trained} {member.name}")
        lines += [
            f"key {term.public} {stamp(term.since)} {_moment(term.until)} "
            f"{_moment(term.revoked)} {term.reason or NOTHING}"
            for term in member.keys
        ]
    return "\n".join(lines) + "\n"


def from_text(text: str) -> Version:
    """Return the roster that `text` spells; Damaged for anything that `to_text` would not write."""
    try:
        version = _read(text)
        spelled = to_text(version)
    except LaterForm:
        raise
    except (StandclearError, ValueError) as problem:
        said = problem.what if isinstance(problem, StandclearError) else str(problem)
        raise Damaged(f"the roster is not in form: {said}") from problem
    if spelled != text:
        raise Damaged("the roster is not spelled in the one form that is accepted")
    return version


def spelled_roles(roles: Iterable[str]) -> str:
    """Return roles as one word: worker,safety-officer."""
    return ",".join(role.replace(" ", "-") for role in roles) or NOTHING


def read_roles(text: str) -> tuple[str, ...]:
    """Return the roles that one word spells."""
    return () if text == NOTHING else tuple(r.replace("-", " ") for r in text.split(","))


def _read(text: str) -> Version:
    lines = LineReader(text, TITLE)
    number, previous = whole(lines.due("number")), lines.due("previous")
    at, program = read_stamp(lines.due("time")), lines.due("program")
    officer, name = lines.parts("officer", 2)
    members: list[Member] = []
    while (value := lines.maybe("person")) is not None:
        members.append(_member(value, lines))
    lines.end()
    return Version(number, previous, at, program, officer, name, tuple(members))


def _member(value: str, lines: LineReader) -> Member:
    call_sign, roles, trained, name = split(value, 4)
    keys: list[KeyTerm] = []
    while (term := lines.maybe("key")) is not None:
        public, since, until, revoked, reason = split(term, 5)
        keys.append(
            KeyTerm(
                public, read_stamp(since), _read_moment(until), _read_moment(revoked),
                "" if reason == NOTHING else reason,
            )
        )  # fmt: skip
    return Member(
        name, read_roles(roles), "" if call_sign == NOTHING else call_sign,
        None if trained == NOTHING else date.fromisoformat(trained), tuple(keys),
    )  # fmt: skip


def _moment(at: datetime | None) -> str:
    return stamp(at) if at else NOTHING


def _read_moment(text: str) -> datetime | None:
    return None if text == NOTHING else read_stamp(text)

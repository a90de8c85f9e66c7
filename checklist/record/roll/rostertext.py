"""One version of the roster as readable text, and back, without a letter of difference."""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.record.errors import Damaged, LaterForm
from checklist.record.files.clock import read_stamp, stamp
from checklist.record.files.linereader import LineReader, split, whole
from checklist.record.roll.people import KeyTerm, Member, Version, check_member, check_version

if TYPE_CHECKING:
    from collections.abc import Iterable

TITLE = "standclear roster 1"
"""The first line of every roster: the format and its version."""

NOTHING = "-"
"""Stands where a line has nothing to say."""


def to_text(version: Version) -> str:
    """Return the roster's text; EntryRefused where it could not be read back the same."""
    for member in version.members:
        check_member(member)
    check_version(version)
    return _head(version) + "".join(map(_block, version.members))


def from_text(text: str) -> Version:
    """Return the roster that `text` spells; Damaged for anything that `to_text` would not write."""
    try:
        version, blocks = _read(text)
        check_version(version)
        spelled = _head(version) + "".join(blocks)
    except LaterForm:
        raise
    except (StandclearError, ValueError) as problem:
        said = problem.what if isinstance(problem, StandclearError) else str(problem)
        raise Damaged(f"the roster is not in form: {said}") from problem
    if spelled != text:
        raise Damaged("the roster is not spelled in the one form that is accepted")
    return version


def _head(version: Version) -> str:
    return (
        f"{TITLE}\nnumber {version.number}\nprevious {version.previous}\n"
        f"time {stamp(version.at)}\nprogram {version.program}\n"
        f"officer {version.officer} {version.officer_name}\n"
    )


def _block(member: Member) -> str:
    """Return a person's lines."""
    trained = member.trained.isoformat() if member.trained else NOTHING
    roles = spelled_roles(member.roles)
    lines = [f"person {member.call_sign or NOTHING} {roles} {trained} {member.name}\n"]
    lines += [
        f"key {term.public} {stamp(term.since)} {_moment(term.until)} "
        f"{_moment(term.revoked)} {term.reason or NOTHING}\n"
        for term in member.keys
    ]
    return "".join(lines)


def spelled_roles(roles: Iterable[str]) -> str:
    """Return roles as one word: worker,safety-officer."""
    return ",".join(role.replace(" ", "-") for role in roles) or NOTHING


def read_roles(text: str) -> tuple[str, ...]:
    """Return the roles that one word spells."""
    return () if text == NOTHING else tuple(r.replace("-", " ") for r in text.split(","))


def _read(text: str) -> tuple[Version, list[str]]:
    """Return a roster, and the lines of each of its people in their one spelling."""
    lines = LineReader(text, TITLE)
    number, previous = whole(lines.due("number")), lines.due("previous")
    at, program = read_stamp(lines.due("time")), lines.due("program")
    officer, name = lines.parts("officer", 2)
    found: list[tuple[Member, str]] = []
    while (value := lines.maybe("person")) is not None:
        keys: list[str] = []
        while (key := lines.maybe("key")) is not None:
            keys.append(key)
        found.append(_member(value, tuple(keys)))
    lines.end()
    members = tuple([member for member, _ in found])
    version = Version(number, previous, at, program, officer, name, members)
    return version, [block for _, block in found]


@lru_cache(maxsize=4096)  # each version names everybody again: who is the same is kept once
def _member(value: str, keys: tuple[str, ...]) -> tuple[Member, str]:
    call_sign, roles, trained, name = split(value, 4)
    terms: list[KeyTerm] = []
    for key in keys:
        public, since, until, revoked, reason = split(key, 5)
        terms.append(
            KeyTerm(
                public, read_stamp(since), _read_moment(until), _read_moment(revoked),
                "" if reason == NOTHING else reason,
            )
        )  # fmt: skip
    member = Member(
        name, read_roles(roles), "" if call_sign == NOTHING else call_sign,
        None if trained == NOTHING else date.fromisoformat(trained), tuple(terms),
    )  # fmt: skip
    check_member(member)
    return member, _block(member)


def _moment(at: datetime | None) -> str:
    return stamp(at) if at else NOTHING


def _read_moment(text: str) -> datetime | None:
    return None if text == NOTHING else read_stamp(text)

"""Makes each happening of the invented year happen, through the program's own doors."""

from __future__ import annotations

from functools import singledispatch

from checklist.demo.cast import OFFICERS
from checklist.demo.club import Club
from checklist.demo.founding import STATION, take_newest_roster
from checklist.demo.happenings import (
    ClockSet,
    Corrected,
    Happening,
    HungUp,
    LogsRead,
    Received,
    Revoked,
    SignedLate,
    StationChanged,
    TakenOff,
    TakenOffByOthers,
    Walked,
)
from checklist.demo.walking import walk
from checklist.names import name_key
from checklist.record.journals.seal import sign_late
from checklist.record.ledgers.tags import Tag
from checklist.record.roll.receiving import receive_folder
from checklist.record.roll.spoken import key_code
from checklist.rulefile import Role
from checklist.sessions.past.correcting import correct, finished
from checklist.sessions.roll.people import revoke
from checklist.sessions.tagging.hanging import Hanging, hang
from checklist.sessions.tagging.tags import look_at_tags
from checklist.sessions.tagging.takingover import read_log_at
from checklist.sessions.tagging.untagging import take_off, take_off_for_another
from checklist.walk.entry import read_answer


def happen(club: Club, happening: Happening) -> None:
    """Go to the day and the time of a happening, and do it."""
    club.calendar.go_to(club.moment(happening.day, happening.at))
    _do(happening, club)


@singledispatch
def _do(happening: Happening, club: Club) -> None:
    raise TypeError(f"nothing is known of {type(happening).__name__} on day {happening.day}")


@_do.register
def _walked(happening: Walked, club: Club) -> None:
    walk(club, happening)


@_do.register
def _clock_set(happening: ClockSet, club: Club) -> None:
    club.clocks[happening.laptop].wrong_by *= 0


@_do.register
def _taken_off(happening: TakenOff, club: Club) -> None:
    logs = club.logs(happening.laptop)
    signer = club.signing(happening.laptop, happening.person, Role.WORKER)
    for tag in _tags_of(club, happening.laptop, happening.person):
        club.calendar.pass_time(60)
        left = len(look_at_tags(logs).at(tag.point)) - 1
        take_off(logs, tag, signer, str(left))


@_do.register
def _taken_off_by_others(happening: TakenOffByOthers, club: Club) -> None:
    logs = club.logs(happening.laptop)
    tag = next(tag for tag in look_at_tags(logs).open if tag.lock == happening.lock)
    first, second = happening.by
    signers = [
        club.signing(happening.laptop, first, Role.HELPER),
        club.signing(happening.laptop, second, Role.SAFETY_OFFICER),
    ]
    take_off_for_another(logs, tag, signers, happening.facts, "0")


@_do.register
def _hung_up(happening: HungUp, club: Club) -> None:
    hang(
        club.logs(happening.laptop),
        Hanging(
            happening.point, happening.lock, happening.person, happening.why, happening.until,
            locks="1",
        ),
    )  # fmt: skip


@_do.register
def _corrected(happening: Corrected, club: Club) -> None:
    logs = club.logs(happening.laptop)
    session_id = club.sessions[happening.nick]
    step = finished(logs, session_id).loaded.rule_file.step(happening.step)
    answer = read_answer(step, happening.answer, instrument="meter 2, invented")
    signer = club.signing(happening.laptop, happening.signer, happening.role)
    correct(logs, session_id, happening.step, answer, happening.reason, signer)


@_do.register
def _signed_late(happening: SignedLate, club: Club) -> None:
    signer = club.signing(happening.laptop, happening.person, happening.role)
    sign_late(club.logs(happening.laptop), club.sessions[happening.nick], [signer])


@_do.register
def _received(happening: Received, club: Club) -> None:
    logs = club.logs(happening.laptop)
    if happening.laptop != OFFICERS:
        take_newest_roster(club, happening.laptop)
    club.calendar.pass_time(60)
    receive_folder(club.logs(OFFICERS), logs, club.officers_key)


@_do.register
def _revoked(happening: Revoked, club: Club) -> None:
    key = club.key(happening.of_laptop, happening.person)
    revoke(
        club.logs(OFFICERS), club.officers_key, happening.person, key_code(key.public),
        happening.reason,
    )  # fmt: skip


@_do.register
def _logs_read(happening: LogsRead, club: Club) -> None:
    for other in happening.of:
        club.calendar.pass_time(30)
        read_log_at(club.logs(happening.laptop), club.desks[other].logs)


@_do.register
def _station_changed(happening: StationChanged, club: Club) -> None:
    path = club.folder / happening.laptop / STATION
    text = path.read_text(encoding="utf-8")
    if text.count(happening.before) != 1:
        raise AssertionError(f"{happening.before!r} does not stand once in {path.name}")
    path.write_text(text.replace(happening.before, happening.after), encoding="utf-8", newline="\n")


def _tags_of(club: Club, laptop: str, person: str) -> list[Tag]:
    tags = look_at_tags(club.logs(laptop)).open
    return [tag for tag in tags if name_key(tag.person) == name_key(person)]

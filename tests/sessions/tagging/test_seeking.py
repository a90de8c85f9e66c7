"""A step that wants points free asks the logs that are here, in the walk and on two laptops."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from checklist.errors import StandclearError
from checklist.record.journals.seal import Signing
from checklist.rulefile import Effect
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin, go_on, rehearse
from checklist.sessions.session import Session
from checklist.sessions.tagging.hanging import Hanging, hang
from checklist.sessions.tagging.tags import look_at_tags
from checklist.sessions.tagging.takingover import read_log_at
from checklist.sessions.tagging.untagging import take_off
from checklist.walk.entry import read_answer
from checklist.walk.events import Clearing
from tests.sessions.pastsessions import key_of, later
from tests.sessions.releasing import NAME, desk_for_release
from tests.sessions.tagging.test_hanging import WREN, name_tags

TWO = {"counted-by": ["Wren Holloway", "Tamsin Reed"], "count": "0"}


@pytest.fixture
def shack(tmp_path: Path) -> Desk:
    return desk_for_release(tmp_path / "shack")


@pytest.fixture
def field(tmp_path: Path) -> Desk:
    return desk_for_release(tmp_path / "field")


def ask(desk: Desk, **typed: Any) -> tuple[Effect, str]:
    """Begin a walk, answer its step, and return what that did and why."""
    session = begin(desk, NAME).session
    try:
        judgement = answer(session, **typed)
    finally:
        session.close()
    return judgement


def answer(session: Session, clearing: Clearing | None = None, **typed: Any) -> tuple[Effect, str]:
    step = session.walk.rule_file.step("free")
    written = {"points": ["breaker 14"], **typed}
    found = session.answer("free", read_answer(step, written), clearing).judgement
    return found.effect, " ".join(found.because)


def lock(desk: Desk, point: str = "Breaker 14") -> None:
    hang(desk.folder, Hanging(point, "5", WREN, "rotator", "8 h"))


def unlock(desk: Desk) -> None:
    tag = look_at_tags(desk.folder).open[0]
    take_off(desk.folder, tag, Signing(WREN, "worker", key_of(desk, WREN)), "0")


def test_tag_at_the_point_stops_until_it_is_off(shack: Desk) -> None:
    """The program finds what hangs there; taken off, the step is answered anew and goes on."""
    lock(shack)
    session = begin(shack, NAME).session
    stopped = answer(session, others="none")
    unlock(shack)
    way = session.walk.rule_file.step("free").ways[0]
    went_on = answer(session, Clearing(way.do, {"Who took it off": WREN}), others="none")
    session.close()

    assert stopped[0] is Effect.STOP
    assert "lock 5 of Wren Holloway hangs at Breaker 14" in stopped[1]
    assert went_on == (Effect.CLEAR, "")


def test_tag_at_another_point_does_not_stop(shack: Desk) -> None:
    """Only the points that are named matter."""
    lock(shack, "plug 2")

    assert ask(shack, others="none") == (Effect.CLEAR, "")


def test_answer_cannot_say_that_nothing_hangs(shack: Desk) -> None:
    """What an answer claims to have found is put aside for what the logs tell."""
    lock(shack)
    effect, _ = ask(shack, others="none", hangs=["plug 2, 9, Nobody"], logs=["1 min"])

    assert effect is Effect.STOP


def test_two_laptops(shack: Desk, field: Desk) -> None:
    """Another laptop's tag cannot be told, then stops once read, then is off and goes on."""
    lock(shack)
    unread = ask(field, others="read")
    read_log_at(field.folder, shack.logs)
    hangs = ask(field, others="read")
    unlock(field)
    off = ask(field, others="read")

    assert unread[0] is Effect.STOP
    assert "no other laptop's log was read here" in unread[1]
    assert hangs[0] is Effect.STOP
    assert "lock 5" in hangs[1]
    assert off == (Effect.CLEAR, "")


def test_log_read_too_long_ago_cannot_tell(shack: Desk, field: Desk) -> None:
    """Two hours after it was read another laptop's log no longer counts; read again it does."""
    read_log_at(field.folder, shack.folder.path)
    later(field, hours=2)
    old = ask(field, others="read")
    read_log_at(field.folder, shack.logs)
    fresh = ask(field, others="read")

    assert old[0] is Effect.STOP
    assert "was read 2 h ago" in old[1]
    assert fresh == (Effect.CLEAR, "")


def test_two_people_count_where_a_log_is_missing(shack: Desk) -> None:
    """Two names and no lock counted are the other way out of cannot tell."""
    assert ask(shack, others="not read")[0] is Effect.STOP
    assert ask(shack, others="not read", **TWO) == (Effect.CLEAR, "")


def test_damaged_ledger_cannot_tell(shack: Desk) -> None:
    """With an entry spoilt nobody can say from the log that nothing hangs."""
    lock(shack)
    session = begin(shack, NAME).session
    (shack.folder.ledger / "00000001.note").write_bytes(b"spoilt")
    effect, because = answer(session, others="none")
    session.close()

    assert effect is Effect.STOP
    assert "cannot tell" in because


def test_what_hung_then_is_kept(shack: Desk) -> None:
    """The session's file keeps what hung when it was asked, and opens again with it."""
    lock(shack)
    session = begin(shack, NAME).session
    answer(session, others="none")
    session.close()
    unlock(shack)
    again = go_on(shack, session.id).session
    state = again.progress().of("free")
    again.close()

    assert state.has_unanswered_stop
    assert "hangs at Breaker 14" in state.because[0]


def test_rehearsal_looks_nothing_up(shack: Desk) -> None:
    """A rehearsal has no log and is judged by what was answered."""
    session = rehearse(shack, NAME).session

    assert answer(session, others="not read")[0] is Effect.STOP
    assert not shack.logs.exists()


def test_log_with_tags_that_are_due_is_not_read(shack: Desk, field: Desk, tmp_path: Path) -> None:
    """A laptop that died between answer and entry is started first; nothing is guessed."""
    from tests.sessions.pastsessions import NAME as WALK
    from tests.sessions.pastsessions import desk_at

    other = desk_at(tmp_path)
    session = begin(other, WALK).session
    session._enter_tags = lambda event: None  # type: ignore[method-assign]  # the power goes here
    name_tags(session, f"breaker 14, 5, {WREN}")
    session.close()

    with pytest.raises(StandclearError, match="Start standclear on that laptop"):
        read_log_at(field.folder, other.logs)


def test_copy_without_a_session_file_is_not_read(field: Desk, tmp_path: Path) -> None:
    """A copy that lacks part of the record is refused with what is missing."""
    from tests.sessions.pastsessions import NAME as WALK
    from tests.sessions.pastsessions import desk_at

    other = desk_at(tmp_path)
    session = begin(other, WALK).session
    session.close()
    other.folder.session_file(session.id).unlink()

    with pytest.raises(StandclearError, match="cannot be relied on"):
        read_log_at(field.folder, other.logs)


@pytest.mark.parametrize("age", [timedelta(0), timedelta(minutes=30)])
def test_reading_is_said(shack: Desk, field: Desk, age: timedelta) -> None:
    """What came of reading a log is said in numbers: entries about tags, and tags open."""
    lock(shack)
    later(field, seconds=age.total_seconds())
    said = read_log_at(field.folder, shack.logs)

    assert "entries about tags: 1; of its tags hang: 1" in said

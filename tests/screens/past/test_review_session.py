"""One past session on the screen: read, verified, signed where a signature is missing."""

from __future__ import annotations

import itertools
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from checklist.errors import StandclearError
from checklist.record.journals.seal import Signing, sign_late
from checklist.record.verifying.verify import verify
from checklist.screens.app import StandclearApp
from checklist.screens.frame import BANNER
from checklist.screens.past import session as session_screen
from checklist.screens.past.session import SessionScreen, broken
from checklist.sessions.desk import Desk
from tests.screens.driving import until, wait_for
from tests.screens.past.test_review import seen, settled
from tests.sessions.pastsessions import TITLE, desk_at, key_of, sealed, walked


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


@asynccontextmanager
async def showing(
    desk: Desk, session_id: str, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[tuple[Pilot[None], SessionScreen]]:
    """Open one session and wait until it is read."""
    app = StandclearApp(desk)
    async with app.run_test(size=size) as pilot:
        app.show_session(session_id)
        screen = await wait_for(pilot, SessionScreen)
        await settled(pilot, screen)
        yield pilot, screen


def all_text(screen: SessionScreen) -> str:
    """Return everything that can be scrolled to."""
    return "\n".join(
        str(widget.render()) for widget in screen.query("#session Static").results(Static)
    )


@pytest.mark.parametrize("size", [(80, 24), (160, 50)])
async def test_session_is_shown_whole(desk: Desk, size: tuple[int, int]) -> None:
    """Title, result and answers stand there as text, with the banner and the key for help."""
    session = walked(desk)
    sealed(desk, session)

    async with showing(desk, session.id, size) as (pilot, screen):
        visible, everything = seen(pilot), " ".join(all_text(screen).split())

    assert TITLE in visible
    assert "no stop found, expires 25 Nov" in visible
    assert BANNER in visible
    assert "SOMEONE IS HURT" in visible
    assert "holds Tamsin Reed, in charge" in everything
    assert "Who cleared it: Orrin [@click=x]Vale" in everything
    assert "a note with [/b] in it" in everything


@pytest.mark.parametrize(
    ("line", "rows"),
    [
        ("short", ["short"]),
        (
            "    09:41:34  answered by: clear the ground and answer again",
            [
                "    09:41:34  answered by: clear",
                "              the ground and",
                "              answer again",
            ],
        ),
        (
            "  a sentence that is longer than the line",
            ["  a sentence that is longer than", "    the line"],
        ),
        (
            "  holds        form: every entry is in form",
            ["  holds        form: every entry", "               is in form"],
        ),
        ("x" * 70, ["x" * 32, "  " + "x" * 30, "  " + "x" * 8]),
    ],
)
def test_long_lines_hang_under_their_beginning(line: str, rows: list[str]) -> None:
    """A line that is broken goes on below its own text, and no letter of it is lost."""
    assert broken(line, 32) == rows


async def test_verifying_shows_each_check(desk: Desk) -> None:
    """The v key verifies now: every check is in words, and nothing is claimed of identity."""
    session = walked(desk)
    sealed(desk, session)

    async with showing(desk, session.id) as (pilot, screen):
        await pilot.press("v")
        await settled(pilot, screen)
        checks = str(screen.query_one("#checks", Static).render())

    assert "VERIFIED AT " in checks
    assert "holds        hash chain: " in checks
    assert "holds        signatures: " in checks
    assert "cannot tell  identity: " in checks


async def test_verifying_a_changed_session_fails(desk: Desk) -> None:
    """A changed answer is said as soon as the session is opened, and the check fails."""
    session = walked(desk)
    sealed(desk, session)
    path = desk.folder.session_file(session.id)
    path.write_bytes(path.read_bytes().replace(b"30 ft", b"90 ft", 1))

    async with showing(desk, session.id) as (pilot, screen):
        opened = seen(pilot)
        await pilot.press("v")
        await settled(pilot, screen)
        checks = str(screen.query_one("#checks", Static).render())
        urgent = screen.title_line.has_class("-urgent")

    assert "changed" in opened
    assert urgent
    assert "This record does not hold" in checks
    assert "FAILS" in checks


async def test_signing_is_offered_where_a_signature_is_missing(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The s key asks for the missing signature, and only where one is missing."""
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")
    asked: list[str] = []
    monkeypatch.setattr(StandclearApp, "sign_late", lambda _, name: asked.append(name))

    async with showing(desk, session.id) as (pilot, screen):
        loud = seen(pilot)
        await pilot.press("s")
        signer = Signing("Orrin Vale", "worker", key_of(desk, "Orrin Vale"))
        sign_late(desk.folder, session.id, [signer])
        screen.on_screen_resume()
        await settled(pilot, screen)
        await pilot.press("s")
        quiet = seen(pilot)

    assert "NOT SEALED: Orrin Vale has not signed." in loud
    assert asked == [session.id]
    assert "NOT SEALED" not in quiet


async def test_unknown_session_is_one_sentence(desk: Desk) -> None:
    """A session that is not there is said, and the screen can be left."""
    async with showing(desk, "0" * 32) as (pilot, screen):
        text = seen(pilot)
        await pilot.press("v")
        await settled(pilot, screen)
        await pilot.press("escape")
        left = pilot.app.screen

    assert "cannot be read" in text
    assert left is not screen


async def test_garbled_file_is_shown_as_far_as_it_goes(desk: Desk) -> None:
    """A garbled session file opens with what the ledger says and a sentence about the damage."""
    session = walked(desk)
    sealed(desk, session)
    desk.folder.session_file(session.id).write_bytes(b"\x1b[2J\x00\xff" * 30)

    async with showing(desk, session.id) as (pilot, screen):
        visible, everything = seen(pilot), all_text(screen)

    assert "no stop found" in visible
    assert "DAMAGED OR NOT READ" in everything
    assert "\x1b" not in everything


async def test_escape_stops_a_long_verification(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It says how far it is; Escape ends it in the thread, shows no check, and stays here."""
    session = walked(desk)
    sealed(desk, session)
    ended: list[str] = []

    def endless(folder: object, session_id: str, tell: Callable[[str, int, int], None]) -> None:
        try:
            for done in itertools.count():
                tell("ledger entries", done, 10_000)
                time.sleep(0.01)
        except StandclearError as stopped:
            ended.append(stopped.what)
            raise

    monkeypatch.setattr(session_screen, "verify", endless)
    async with showing(desk, session.id) as (pilot, screen):
        await pilot.press("v")
        await until(pilot, lambda: "of 10000; Esc stops it" in seen(pilot), "how far it is")
        await pilot.press("escape")
        await until(pilot, lambda: "it was stopped. Nothing unfinished" in seen(pilot), "the word")

        assert ended == ["it was stopped"]
        assert pilot.app.screen is screen
        assert "Verified" not in all_text(screen)


def test_verify_tells_how_far_it_is(desk: Desk) -> None:
    """Every ledger entry, then every session is told; what is raised on the way ends it."""
    sealed(desk, walked(desk))
    told: list[tuple[str, int, int]] = []
    verify(desk.folder, None, lambda what, done, of: told.append((what, done, of)))

    def stop(what: str, done: int, of: int) -> None:
        raise StandclearError("enough")

    entries = len([one for one in told if one[0] == "ledger entries"])
    assert told[0] == ("ledger entries", 0, entries)
    assert told[-1] == ("sessions", 0, 1)
    with pytest.raises(StandclearError, match="enough"):
        verify(desk.folder, None, stop)

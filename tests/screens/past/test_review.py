"""The list of past sessions: found, marked and opened by keyboard alone."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from checklist.record.files.folder import LogFolder
from checklist.record.journals.states import SessionState
from checklist.record.lookup.card import Card
from checklist.screens.app import StandclearApp
from checklist.screens.frame import BANNER
from checklist.screens.past.review import ReviewScreen
from checklist.screens.past.session import SessionScreen
from checklist.screens.walking.field import Field
from checklist.sessions.desk import Desk
from checklist.sessions.past import cataloguing
from checklist.sessions.past.cardmaking import card_by_file
from tests.screens.driving import text_of, wait_for
from tests.sessions.manysessions import fill
from tests.sessions.pastsessions import TITLE, desk_at, later, sealed, walked


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


@asynccontextmanager
async def reviewing(
    desk: Desk, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[tuple[Pilot[None], ReviewScreen]]:
    """Open the review of a desk and wait until everything is read."""
    app = StandclearApp(desk)
    async with app.run_test(size=size) as pilot:
        app.review()
        screen = await wait_for(pilot, ReviewScreen)
        await settled(pilot, screen)
        yield pilot, screen


def seen(pilot: Pilot[None]) -> str:
    """Return what stands on the terminal."""
    app = pilot.app
    assert isinstance(app, StandclearApp)
    return text_of(app)


async def settled(pilot: Pilot[None], screen: ReviewScreen | SessionScreen) -> None:
    """Wait until nothing is read or sought any more."""
    for _ in range(500):
        await pilot.pause(0.01)
        if not any(w.node is screen and not w.is_finished for w in pilot.app.workers):
            return
    raise AssertionError("the screen goes on reading")


async def seek(pilot: Pilot[None], screen: ReviewScreen, typed: str) -> None:
    screen.query_one("#filter", Field).value = typed
    await settled(pilot, screen)


async def test_newest_first_with_results_in_words(desk: Desk) -> None:
    """Each session shows when, what, its result with expired or NOT SEALED, and who."""
    sealed(desk, walked(desk))
    later(desk, days=1)
    sealed(desk, walked(desk), absent="Orrin Vale")
    walked(desk).close()

    async with reviewing(desk) as (_, screen):
        rows = [screen.sessions.text_of(place) for place in range(3)]

    assert [row[0].split("  ", 1)[1] for row in rows] == [TITLE] * 3
    assert "not finished" in rows[0][1]
    assert "NOT SEALED: no stop found, expires 26 Nov" in rows[1][1]
    assert "no stop found, expired 25 Nov   Tamsin Reed, Orrin Vale" in rows[2][1]


async def test_small_terminal_shows_result_banner_and_help(desk: Desk) -> None:
    """At 80 by 24 the longest result is whole, with the banner and the key for help."""
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")
    later(desk, days=1)

    async with reviewing(desk) as (pilot, _):
        text = seen(pilot)

    assert "NOT SEALED: no stop found, expired 25 Nov" in text
    assert TITLE in text
    assert BANNER in text
    assert "SOMEONE IS HURT" in text
    assert "no permission" in text


async def test_typing_narrows_the_list(desk: Desk) -> None:
    """Words and named words narrow the list; a wrong day is said and loses nothing."""
    sealed(desk, walked(desk, words="heron on the mast"))
    sealed(desk, walked(desk))

    async with reviewing(desk) as (pilot, screen):
        await seek(pilot, screen, "HERON")
        heron = len(screen.sessions.cards)
        await seek(pilot, screen, "person:nobody")
        nobody, said = len(screen.sessions.cards), seen(pilot)
        await seek(pilot, screen, "from:yesterday")
        wrong = seen(pilot)
        await seek(pilot, screen, "")
        everything = len(screen.sessions.cards)

    assert (heron, nobody, everything) == (1, 0, 2)
    assert "No session fits." in said
    assert "is not a day" in wrong


async def test_keys_move_the_mark_and_open(desk: Desk) -> None:
    """Down, page keys and Enter reach every session without leaving the field; Escape leaves."""
    fill(desk, 40)

    async with reviewing(desk) as (pilot, screen):
        await pilot.press("down", "down", "up")
        after_arrows = screen.sessions.at
        await pilot.press("pagedown", "pagedown", "pagedown", "pagedown", "pagedown")
        at_end = screen.sessions.at
        assert screen.sessions.marked is not None
        marked = screen.sessions.marked.session_id
        await pilot.press("enter")
        opened = await wait_for(pilot, SessionScreen)
        await pilot.press("escape")
        back = await wait_for(pilot, ReviewScreen)
        await settled(pilot, back)
        kept = back.sessions.at
        await pilot.press("escape")
        left = pilot.app.screen

    assert (after_arrows, at_end) == (1, 39)
    assert opened.session_id == marked
    assert kept == 39
    assert left is not screen


async def test_mark_stays_in_sight(desk: Desk) -> None:
    """The session at the mark is always among the lines on the terminal."""
    fill(desk, 30)

    async with reviewing(desk) as (pilot, screen):
        screen.sessions.at = 29
        await pilot.pause()
        text = seen(pilot)
        when = screen.sessions.text_of(29)[0].strip()[:16]

    assert when in text


async def test_click_opens(desk: Desk) -> None:
    """A click on a session opens it."""
    fill(desk, 5)

    async with reviewing(desk) as (pilot, screen):
        await pilot.click("#sessions", offset=(10, 5))
        opened = await wait_for(pilot, SessionScreen)
        third = screen.sessions.cards[2].session_id

    assert opened.session_id == third


async def test_wide_terminal(desk: Desk) -> None:
    """In a large terminal the list fills the height."""
    fill(desk, 40)

    async with reviewing(desk, (160, 50)) as (_, screen):
        page = screen.sessions.page

    assert page >= 20


async def test_folder_that_cannot_be_used_is_said(tmp_path: Path) -> None:
    """Where the log folder is a file, the screen says so and can be left."""
    (tmp_path / "logs").write_text("not a folder", encoding="utf-8")

    async with reviewing(desk_at(tmp_path)) as (pilot, _):
        text = seen(pilot)
        await pilot.press("escape")

    assert "Past sessions" in text
    assert "logs" in text


async def test_odd_texts_stay_text(desk: Desk) -> None:
    """Words that look like markup are shown as they were typed, and wide letters keep the line."""
    session = walked(desk, words="[bold]嵐[/x]")
    sealed(desk, session)

    async with reviewing(desk) as (pilot, screen):
        await seek(pilot, screen, "[bold]嵐[/x]")
        count, text = len(screen.sessions.cards), seen(pilot)

    assert count == 1
    assert "Mast [/x] work [bold]" in text


async def test_empty_log(desk: Desk) -> None:
    """Without any session the screen says that there is none."""
    async with reviewing(desk) as (pilot, _):
        await pilot.press("enter", "down", "pagedown")
        text = seen(pilot)

    assert "There is no session yet." in text


async def test_first_build_shows_how_far_it_is(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """While session files are read, a bar grows, and every session can be found and marked.

    What only the files say, such as words of an answer, is found when the bar is gone.
    """
    fill(desk, 120)
    go_on = threading.Semaphore(60)

    def held_up(folder: LogFolder, session_id: str, state: SessionState) -> Card:
        go_on.acquire()
        return card_by_file(folder, session_id, state)

    monkeypatch.setattr(cataloguing, "card_by_file", held_up)
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        app.review()
        screen = await wait_for(pilot, ReviewScreen)
        half = await _seen_within(pilot, "50 of 120 sessions")
        listed = len(screen.sessions.cards)
        screen.query_one("#filter", Field).value = "person:orrin wrench"
        await _seen_within(pilot, "0 of 120")
        words_then = len(screen.sessions.cards)
        screen.query_one("#filter", Field).value = "person:orrin"
        go_on.release(50)
        more = await _seen_within(pilot, "100 of 120 sessions")
        named = len(screen.sessions.cards)
        go_on.release(10)
        await settled(pilot, screen)
        await seek(pilot, screen, "person:orrin wrench")
        words, whole = len(screen.sessions.cards), seen(pilot)

    assert (listed, named, words_then, words) == (120, 120, 0, 120)
    assert f"[{'#' * 10}{'.' * 14}] reading 50 of 120 sessions for their answers." in half
    assert f"[{'#' * 20}{'.' * 4}] reading 100 of 120 sessions" in more
    assert "no permission" in whole
    assert "reading" not in whole


async def _seen_within(pilot: Pilot[None], wanted: str) -> str:
    """Wait until something stands on the terminal, and return all that stands there."""
    for _ in range(1000):
        await pilot.pause(0.01)
        if wanted in seen(pilot):
            return seen(pilot)
    raise AssertionError(f"{wanted!r} is not shown:\n{seen(pilot)}")


async def test_leaving_while_the_log_is_read(desk: Desk) -> None:
    """Escape in the middle of reading leaves at once, and what comes back late harms nothing."""
    fill(desk, 300)
    app = StandclearApp(desk)

    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(3):
            app.review()
            await wait_for(pilot, ReviewScreen)
            await pilot.press("x", "escape")
        still_open = isinstance(app.screen, ReviewScreen)
        app.review()

    assert not still_open

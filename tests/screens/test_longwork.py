"""Long work from a screen: it says how far it is, Escape stops it, and what came of it is said."""

from __future__ import annotations

import asyncio
import itertools
import time
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from checklist.audit import exporting
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm, AskText
from checklist.screens.past import correcting
from checklist.screens.past.correcting import AskAnswer, CorrectScreen
from checklist.screens.past.session import SessionScreen
from checklist.screens.roll import officerpaths
from checklist.screens.roll.tags import TagsScreen
from checklist.screens.walking.form import Form
from checklist.sessions.desk import Desk
from checklist.sessions.tagging import takingover
from checklist.stopping import Stopped
from tests.record.making import PASSPHRASE
from tests.screens.driving import settled, text_of, until, wait_for
from tests.screens.past.test_correcting import correcting as correct_at
from tests.screens.past.test_correcting import one_session
from tests.screens.roll.test_people import fill, make_officer, other_desk, people_screen
from tests.sessions.pastsessions import desk_at


class Endless:
    """Stands for long work: tells how far it is until that raises."""

    def __init__(self) -> None:
        self.ended_by: list[type[BaseException]] = []

    def __call__(self, *given: Any) -> None:
        tell = given[-1]
        try:
            for done in itertools.count(1):
                tell("entries", done, 10_000)
                time.sleep(0.01)
        except BaseException as ended:
            self.ended_by.append(type(ended))
            raise


@pytest.fixture
def endless() -> Endless:
    return Endless()


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


async def stopped(pilot: Pilot[None], app: StandclearApp, endless: Endless) -> None:
    """See that the work says how far it is; stop it, and wait for what is said of that."""
    await until(pilot, lambda: "of 10000; Esc stops it" in text_of(app), "how far it is")
    await pilot.press("escape")
    await until(pilot, lambda: "it was stopped." in text_of(app), "that it was stopped")

    assert endless.ended_by == [Stopped]
    assert app.long_work == []


async def test_a_receipt(
    desk: Desk, tmp_path: Path, endless: Endless, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked again with what was typed but the passphrase; a second Escape goes back."""
    monkeypatch.setattr(officerpaths, "receive_folder", endless)
    make_officer(desk)
    station = other_desk(tmp_path / "station").folder.path
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        people = await people_screen(pilot)
        await pilot.press("g")
        first = await fill(pilot, source=str(station), passphrase=PASSPHRASE)
        await stopped(pilot, app, endless)
        again: Any = app.screen
        typed = {row.row.name: row.row.value for row in again.query("FormRow")}
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is people, "people")

    assert isinstance(again, AskForm)
    assert again is not first
    assert (typed["source"], typed["passphrase"]) == (str(station), "")


async def begin_import(pilot: Pilot[None], app: StandclearApp, path: Path) -> None:
    """Begin to read the log of another laptop from the list of tags."""
    app.show_tags()
    await settled_on(pilot, TagsScreen)
    await pilot.press("i")
    asked = await wait_for(pilot, AskText)
    asked.query_one("Field").value = str(path)
    asked.query_one(Form).submit()


async def test_the_log_of_another_laptop(
    desk: Desk, tmp_path: Path, endless: Endless, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The list of tags stands there again, and says that it was stopped."""
    monkeypatch.setattr(takingover, "read_log_at", endless)
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await begin_import(pilot, app, tmp_path)
        await stopped(pilot, app, endless)

        assert isinstance(app.screen, TagsScreen)


async def test_an_export(
    desk: Desk, tmp_path: Path, endless: Endless, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is asked again where to, and nothing has been written."""
    monkeypatch.setattr(exporting, "export", endless)
    session_id = one_session(desk)
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        app.show_session(session_id)
        await settled_on(pilot, SessionScreen)
        await pilot.press("x")
        await fill(pilot, folder=str(tmp_path / "out"))
        await stopped(pilot, app, endless)

        assert isinstance(app.screen, AskForm)


async def test_a_correction(desk: Desk, endless: Endless, monkeypatch: pytest.MonkeyPatch) -> None:
    """The answers stand there again; nobody is asked for a reason or a signature."""
    monkeypatch.setattr(correcting, "outlook", endless)
    session_id = one_session(desk)
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await correct_at(pilot, app, session_id, "Is the ground clear?")
        await wait_for(pilot, AskAnswer)
        await pilot.press("n")
        await stopped(pilot, app, endless)

        assert isinstance(app.screen, CorrectScreen)


async def test_the_end_of_the_program_does_not_wait(
    desk: Desk, tmp_path: Path, endless: Endless, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A thread that nobody waits for any more ends by itself."""
    monkeypatch.setattr(takingover, "read_log_at", endless)
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await begin_import(pilot, app, tmp_path)
        await until(pilot, lambda: "of 10000; Esc stops it" in text_of(app), "how far it is")
        app.exit()
    await until_ended(endless)

    assert endless.ended_by == [Stopped]


async def until_ended(endless: Endless) -> None:
    for _ in range(500):
        if endless.ended_by:
            return
        await asyncio.sleep(0.01)


async def settled_on(pilot: Pilot[None], screen: type) -> None:
    await wait_for(pilot, screen)
    await settled(pilot)

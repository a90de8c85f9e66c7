"""Correcting and exporting a finished session from its own screen, with the keyboard alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.widgets import OptionList

from checklist.audit.exporting import README
from checklist.record.ledgers.ledger import Ledger
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm, AskOne
from checklist.screens.past.correcting import AskAnswer, CorrectScreen
from checklist.screens.past.session import SessionScreen
from checklist.screens.plain import PlainScreen
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.screens.walking.sign import AskSigner
from checklist.sessions.desk import Desk
from tests.audit.logs import files_of
from tests.record.making import PASSPHRASE
from tests.screens.driving import text_of, until, wait_for
from tests.screens.past.test_review import settled
from tests.screens.roll.test_people import fill
from tests.sessions.pastsessions import desk_at, sealed, walked


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


def one_session(desk: Desk) -> str:
    session = walked(desk)
    sealed(desk, session)
    return session.id


async def correcting(pilot: Any, app: StandclearApp, session_id: str, words: str) -> CorrectScreen:
    """Open the session, press c, and put the mark on the step with these words."""
    app.show_session(session_id)
    await settled(pilot, await wait_for(pilot, SessionScreen))
    await pilot.press("c")
    screen = await wait_for(pilot, CorrectScreen)
    assert isinstance(screen, CorrectScreen)
    listing = screen.query_one(OptionList)
    await until(pilot, lambda: listing.option_count > 0, "the answers are listed")
    prompts = [str(option.prompt) for option in listing.options]
    listing.highlighted = next(at for at, text in enumerate(prompts) if words in text)
    await pilot.press("enter")
    return screen


async def signed(pilot: Any, role: str) -> None:
    """Choose the role, take the name that is suggested, and open the key."""
    await wait_for(pilot, AskOne)
    await pilot.pause(0.3)
    await pilot.press(role)
    asked = await wait_for(pilot, AskSigner)
    asked.query_one("#person", Form).submit()
    await until(pilot, lambda: bool(asked.query("#secret Field")), "the passphrase is asked")
    asked.query_one("#secret Field", Field).value = PASSPHRASE
    asked.query_one("#secret", Form).submit()


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
async def test_a_reading_is_corrected(desk: Desk, size: tuple[int, int]) -> None:
    """Step, new reading, reason, signature: both results are shown, and one file is new."""
    session_id = one_session(desk)
    before = files_of(desk.logs)
    app = StandclearApp(desk)
    async with app.run_test(size=size) as pilot:
        screen = await correcting(pilot, app, session_id, "How far is it to the door?")
        asked = await wait_for(pilot, AskAnswer)
        assert "It was: 30 ft" in text_of(app)
        for row in asked.query(FormRow):
            row.query_one(Field).value = "10 ft" if row.row.name == "reading" else "tape 1"
        await pilot.pause()
        asked.query_one(Form).submit()
        await until(pilot, lambda: "would be “stopped”" in said(app), "both results are shown")
        await fill(pilot, reason="read at the wrong end")
        await signed(pilot, "1")
        await until(pilot, lambda: app.screen is screen and "is now" in said(app), "it is signed")
        text = said(app)
        await pilot.press("escape")
        await settled(pilot, await wait_for(pilot, SessionScreen))
        await until(pilot, lambda: "CORRECTED" in text_of(app), "the session says so")
    after = files_of(desk.logs)

    assert "The result was “no stop found” and is now “stopped”." in text
    assert {name: after[name] for name in before} == before
    assert len(after) == len(before) + 1
    assert Ledger(desk.folder).entries()[-1].entry.field("reason") == "read at the wrong end"


def said(app: StandclearApp) -> str:
    return " ".join(text_of(app).replace("║", " ").replace("▌", " ").split())


async def test_a_key_answer_is_corrected_and_what_is_refused_is_said(desk: Desk) -> None:
    """One key answers a confirm; without a reason, or going back, nothing is added."""
    session_id = one_session(desk)
    before = len(Ledger(desk.folder).names())
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await correcting(pilot, app, session_id, "Is the ground clear?")
        await wait_for(pilot, AskAnswer)
        await pilot.pause(0.3)
        await pilot.press("n")
        await until(pilot, lambda: "would be" in said(app), "the outlook is shown")
        await fill(pilot, reason="?")
        await until(pilot, lambda: app.screen is screen, "it goes back")
        await pilot.pause()

        assert "Nothing was corrected." in said(app)
        assert len(Ledger(desk.folder).names()) == before


async def test_tags_are_not_offered(desk: Desk) -> None:
    """Locks and tags stand in the ledger as they hang; they are put right there."""
    session_id = one_session(desk)
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await correcting(pilot, app, session_id, "What else is there?")
        prompts = [str(option.prompt) for option in screen.query_one(OptionList).options]

    assert len(prompts) == 3
    assert not any("Hang a lock" in prompt for prompt in prompts)


async def test_a_running_walk_is_neither_corrected_nor_exported(desk: Desk) -> None:
    """The keys are not there, and pressing them does nothing."""
    session = walked(desk)
    session.close()
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        app.show_session(session.id)
        screen = await wait_for(pilot, SessionScreen)
        await settled(pilot, screen)
        await pilot.press("c", "x")
        await pilot.pause(0.2)

        assert app.screen is screen
        assert "c correct" not in text_of(app)
        assert "x export" not in text_of(app)


async def test_export_asks_where_and_shows_the_steps(desk: Desk, tmp_path: Path) -> None:
    """A name that is taken is refused in a sentence; then the files are there, and the steps."""
    session_id = one_session(desk)
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        app.show_session(session_id)
        await settled(pilot, await wait_for(pilot, SessionScreen))
        await pilot.press("x")
        first = await fill(pilot, folder=str(tmp_path))
        await until(
            pilot, lambda: isinstance(app.screen, AskForm) and app.screen is not first, "again"
        )
        await pilot.pause()
        refused = said(app)
        await fill(pilot, past=first, folder=str(tmp_path / "out"))
        await wait_for(pilot, PlainScreen)
        await pilot.pause()
        seen = text_of(app)

    assert "this name is taken" in refused
    assert (tmp_path / "out" / README).is_file()
    assert "HOW TO CHECK THIS SESSION" in seen

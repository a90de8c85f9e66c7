"""A walk that was left is given up from home, to the entry on disk."""

from __future__ import annotations

from typing import Any

from textual.widgets import OptionList

from checklist.record.journals.states import State, session_states
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskText
from checklist.screens.home import HomeScreen
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from tests.screens.driving import text_of, until, wait_for


async def test_a_walk_is_given_up_with_the_reason(desk: Desk, app: StandclearApp) -> None:
    """Home is read again when the question closes, and that does not end what it asked for."""
    session = begin(desk, "emergency-power").session
    session.close()
    mark = f"walk:{session.id}"
    async with app.run_test(size=(80, 24)) as pilot:
        home: Any = await wait_for(pilot, HomeScreen)
        choices = home.query_one(OptionList)
        await until(pilot, lambda: mark in {option.id for option in choices.options})
        choices.highlighted = choices.get_option_index(mark)
        await pilot.press("x")
        await wait_for(pilot, AskText)
        await pilot.press(*"rain", "enter")
        await until(pilot, lambda: mark not in {option.id for option in choices.options})
        text = text_of(app)
    ended = session_states(desk.folder)[session.id]

    assert "unfinished" not in text
    assert ended.state is State.ABANDONED
    assert ended.ending is not None
    assert ended.ending.entry.field("reason") == "rain"

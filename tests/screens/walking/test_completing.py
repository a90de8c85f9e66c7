"""What the registers know is offered while one types, and said to be taken by the right arrow."""

from __future__ import annotations

import pytest
from textual.app import App, ComposeResult
from textual.widgets import Static

from checklist.screens.walking.field import Field, completed
from checklist.screens.walking.form import Form
from checklist.sessions.entryrows import Row

KNOWN = ("Bob", "Bob Roe", "Ada Quill")


class _Asked(App[None]):
    def compose(self) -> ComposeResult:
        yield Form([Row("name", "name", known=KNOWN)])


@pytest.mark.parametrize(
    ("typed", "whole"),
    [("b", "Bob"), ("BOB", "Bob Roe"), ("bob r", "Bob Roe"), ("Bob Roe", ""), ("", ""), ("x", "")],
)
def test_the_first_longer_entry_goes_on(typed: str, whole: str) -> None:
    """Case does not count, and what is whole already goes on to nothing of the same length."""
    assert completed(KNOWN, typed) == whole


async def test_what_the_right_arrow_takes_is_said_under_the_field() -> None:
    """It is said while it can be taken, and gone once it stands there; Tab still moves on."""
    app = _Asked()
    async with app.run_test() as pilot:
        field, under = app.query_one(Field), app.query_one(".understood", Static)
        await pilot.press("b", "o", "b")
        await pilot.pause()
        said = str(under.render())
        await pilot.press("right")
        await pilot.pause()
        after = (field.value, under.display)

    assert said == "→ takes Bob Roe"
    assert after == ("Bob Roe", False)

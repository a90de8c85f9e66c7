"""A form whose texts something is made of: what happens while that lasts, and after a refusal."""

from __future__ import annotations

from threading import Event

from checklist.errors import StandclearError
from checklist.screens.app import StandclearApp
from checklist.screens.askuntil import AskUntil, until_it_holds
from checklist.screens.walking.field import Field
from checklist.screens.walking.formrow import FormRow
from checklist.sessions.entryrows import Row
from tests.screens.driving import settled, text_of, until, wait_for

ROWS = [Row("file", "new file", value="a.yaml"), Row("limits", "exposure limits", value="fcc")]


async def test_keys_go_nowhere_while_it_lasts_and_the_cursor_stands_at_what_is_wrong(
    app: StandclearApp,
) -> None:
    """The question stays while it is tried, q and Escape do nothing, and what is wrong is said.

    Then the text that was refused stands in its field, with the cursor in it.
    """
    may_end = Event()

    def attempt(values: dict[str, str]) -> str:
        may_end.wait(10)
        if values["limits"] == "fcc":
            raise StandclearError("“fcc” is no set of limits", where="limits")
        return values["limits"]

    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        asking = app.run_worker(until_it_holds(app, "A new file", [], ROWS, attempt))
        asked = await wait_for(pilot, AskUntil)
        await pilot.press("enter", "enter")
        await until(pilot, lambda: "One moment" in text_of(app))
        await pilot.press("q", "x", "escape")
        stayed = app.screen is asked and app.is_running
        may_end.set()
        await until(pilot, lambda: "no set of limits" in text_of(app))
        await until(pilot, lambda: isinstance(app.focused, Field))
        at = [row.row.name for row in app.screen.query(FormRow) if row.has_focus_within]
        await pilot.press(*"-1310", "enter")
        made = await asking.wait()

    assert stayed
    assert at == ["limits"]
    assert made == "fcc-1310"

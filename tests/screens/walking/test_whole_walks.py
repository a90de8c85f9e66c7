"""Shipped rule files, walked on the screen from the first question to the verified seal."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList

from checklist.record.verifying.verify import verify
from checklist.rulefile import Example
from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.sign import AskSigner, SignScreen
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.desk import Desk
from tests.screens.driving import WORDS, give, text_of, wait_for

SIZE = (80, 24)


async def walk_example(pilot: Pilot[None], app: StandclearApp, example: Example) -> int:
    """Answer every open step as the example does; return the inputs it took."""
    screen = await wait_for(pilot, WalkScreen)
    inputs = 0
    for _ in range(80):
        state = screen.session.progress().next_open
        if state is None:
            return inputs
        if screen._current != state.step.id:
            await screen._show(state.step.id)
        inputs += await give(pilot, example.answers[state.step.id])
        if not isinstance(app.screen, WalkScreen):
            return inputs
    raise AssertionError("the walk does not end")


async def sign_everybody(pilot: Pilot[None], app: StandclearApp) -> int:
    """Sign for everybody the rule file asks for; return the inputs it took."""
    await pilot.press("ctrl+g")
    await wait_for(pilot, SignScreen)
    await pilot.press("ctrl+g")
    inputs = 0
    for _ in range(2):
        await wait_for(pilot, AskSigner)
        app.screen.query_one("#person", Form).submit()
        await pilot.pause(0.2)
        for _ in range(1500):
            if app.screen.query("#secret Field"):
                break
            await pilot.pause(0.02)
        fields = list(app.screen.query("#secret Field").results(Field))
        for field in fields:
            field.value = WORDS
        inputs += 1 + len(fields)
        asked = app.screen
        app.screen.query_one("#secret", Form).submit()
        for _ in range(1500):
            await pilot.pause(0.02)
            if app.screen is not asked:
                break
    await wait_for(pilot, SignScreen)
    for _ in range(1500):
        if app.screen._sealed is not None:  # type: ignore[attr-defined]  # it is a SignScreen
            break
        await pilot.pause(0.02)
    return inputs


@pytest.mark.parametrize(
    ("name", "most_inputs"),
    [
        ("tower-work", 45),
        ("emergency-power", None),
        ("inside-equipment", None),
        ("release", None),
        ("field-event", None),
    ],
)
async def test_the_good_path_is_sealed_and_verifies(
    desk: Desk, name: str, most_inputs: int | None
) -> None:
    """The example where all is in order, typed into the screens, ends sealed and verified.

    Two people new to the tower file need at most 45 inputs, signatures with new keys included.
    """
    example = desk.library.load(name).rule_file.examples[0]
    app = StandclearApp(desk, begin=name)
    async with app.run_test(size=SIZE) as pilot:
        inputs = await walk_example(pilot, app, example)
        inputs += await sign_everybody(pilot, app)
        on_screen = text_of(app)
    report = verify(desk.folder)

    assert "Sealed: " in on_screen
    assert str(example.verdict) in on_screen
    assert not [c for c in report.checks if str(c.outcome) == "fails"]
    assert most_inputs is None or inputs <= most_inputs, inputs
    print(f"{name}: {inputs} inputs from the first question to the seal")


async def test_a_terminal_that_is_killed_loses_no_answer(desk: Desk) -> None:
    """After the program is gone, the next start offers to go on at the same step."""
    example = desk.library.load("tower-work").rule_file.examples[0]
    app = StandclearApp(desk, begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        screen = await wait_for(pilot, WalkScreen)
        for _ in range(4):
            await give(pilot, example.answers[screen.state.step.id])
        at = screen.state.step.id
        acknowledged = screen.session.walk.events
        screen.session.close()  # what the system does for a process that is killed

    again = StandclearApp(Desk(desk.logs, desk.disk, desk.clock))
    async with again.run_test(size=SIZE) as pilot:
        home = await wait_for(pilot, HomeScreen)
        for _ in range(1500):
            if "unfinished" in text_of(again):
                break
            await pilot.pause(0.02)
        choices = home.query_one(OptionList)
        assert (choices.highlighted_option.id or "").startswith("walk:")
        await pilot.press("enter")
        screen = await wait_for(pilot, WalkScreen)

        assert screen.state.step.id == at
        assert screen.session.walk.events[: len(acknowledged)] == acknowledged

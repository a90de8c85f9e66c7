"""What somebody sees who walks for the first time: the question, the finding, the way on."""

from __future__ import annotations

from textual.pilot import Pilot

from checklist.screens.app import StandclearApp
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.walk.entry import read_answer
from tests.screens.driving import give, settled, text_of, until, wait_for

SIZE = (80, 24)


def left_at(desk: Desk, rule_file: str, step_id: str) -> str:
    """Return a walk that was left at a step, everything before it answered as in the example."""
    session = begin(desk, rule_file).session
    example = session.walk.rule_file.examples[0]
    while (state := session.progress().next_open) and state.step.id != step_id:
        typed = example.answers[state.step.id]
        session.answer(state.step.id, read_answer(state.step, typed, instrument="number 2"))
    session.close()
    return str(session.id)


async def on_again(pilot: Pilot[None], app: StandclearApp, session_id: str) -> WalkScreen:
    """Go on with a walk as home does."""
    app.go_on(session_id)
    screen = await wait_for(pilot, WalkScreen)
    await settled(pilot)
    assert isinstance(screen, WalkScreen)
    return screen


async def test_the_question_is_in_sight_where_one_goes_on(desk: Desk) -> None:
    """After a start anew the step at hand stands there from its first line on."""
    session_id = left_at(desk, "tower-work", "land")
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        screen = await on_again(pilot, app, session_id)
        detail = text_of(app).partition("Esc leave")[2]
        step = screen.state.step

    assert step.ask[:60] in " ".join(detail.split())[:120]


async def test_what_was_found_is_said_and_a_caution_says_how_to_go_on(desk: Desk) -> None:
    """A finding within its limits is read with the next question, and above its entry later.

    A caution stays on the screen, and the line below says which key goes on.
    """
    session_id = left_at(desk, "tower-work", "clear-height")
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        screen = await on_again(pilot, app, session_id)
        example = screen.session.walk.rule_file.examples[0]
        await give(pilot, example.answers["clear-height"])
        await until(pilot, lambda: "Within: " in text_of(app), "what was found")
        await screen._show("clear-height")
        above = str(screen.query_one("#found").visual)  # type: ignore[attr-defined]  # it shows text
        await screen._go_on()
        while screen.state.step.id != "gust":
            await give(pilot, example.answers[screen.state.step.id])
            await settled(pilot)
        await give(pilot, "16 mph")
        await until(pilot, lambda: "PgDn goes on" in text_of(app), "how to go on")
        seen = " ".join(text_of(app).split())
        await pilot.press("pagedown")
        await settled(pilot)
        after = screen.state.step.id

    assert "within" in above
    assert "above 15 mph (24.1 km/h) is a caution" in seen
    assert after != "gust"


async def test_a_field_says_what_is_wrong_without_its_inner_name(desk: Desk) -> None:
    """The sentence stands at the field, so that the name by which rules call it is no help."""
    session_id = left_at(desk, "tower-work", "clear-height")
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        screen = await on_again(pilot, app, session_id)
        row = screen.query_one("#entry").query_one(Form).query(FormRow).first()
        row.query_one(Field).value = "10"
        await pilot.press("enter")
        await settled(pilot)
        said = row.complaint()

    assert said.startswith("“10” has no unit. Give a number and a unit")


async def test_the_key_line_says_what_the_keys_do_now(desk: Desk) -> None:
    """After a stop of work the same key goes on with it, and once signed there is only home."""
    session_id = left_at(desk, "tower-work", "gust")
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        screen = await on_again(pilot, app, session_id)
        before = text_of(app).splitlines()[-1]
        screen.session.stop_work("thunder")
        screen._refresh()
        await until(pilot, lambda: "^s go on with work" in text_of(app), "the key goes on")
        stopped = text_of(app).splitlines()[-1]
        await pilot.press("ctrl+s")
        await until(pilot, lambda: "Go on with the work?" in text_of(app), "it is asked")
        await pilot.press("y")
        await until(pilot, lambda: "The work goes on" in text_of(app), "it goes on")

    assert "^s stop work" in before
    assert "stop work" not in stopped

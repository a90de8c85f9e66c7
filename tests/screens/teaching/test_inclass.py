"""In class: a calculation picked by keyboard, worked through, changed, and nothing kept."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from checklist.caution import BANNER
from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
from checklist.screens.teaching.inclass import ClassScreen
from checklist.screens.teaching.lesson import LessonScreen
from checklist.screens.walking.field import Field
from checklist.sessions.desk import Desk
from tests.screens.driving import text_of, until, wait_for

SIZES = [(80, 24), (130, 40)]


async def lesson(pilot: Pilot[None], words: str) -> LessonScreen:
    """Open a calculation from home by its key and a word of it."""
    await wait_for(pilot, HomeScreen)
    await pilot.press("c")
    listed = await wait_for(pilot, ClassScreen)
    await until(pilot, lambda: listed._book is not None, "the tables are read")
    listed.query_one("#filter", Field).value = words
    await pilot.pause()
    await pilot.press("enter")
    screen = await wait_for(pilot, LessonScreen)
    assert isinstance(screen, LessonScreen)
    return screen


def lines_of(screen: LessonScreen) -> str:
    """Return what stands beside the fields, the breaks between lines taken away."""
    return " ".join(str(screen.query_one("#lines", Static).content).split())


def field(screen: LessonScreen, name: str) -> Field:
    return screen.query_one(f"#input-{name}", Field)


@pytest.mark.parametrize("size", SIZES)
async def test_from_home_to_every_line_by_keyboard(
    app: StandclearApp, size: tuple[int, int]
) -> None:
    """c, a word, Enter, Ctrl+E: the arithmetic stands there, the deciding number by its limit."""
    async with app.run_test(size=size) as pilot:
        screen = await lesson(pilot, "power-line")
        before = lines_of(screen)
        await pilot.press("ctrl+e")
        await pilot.pause()
        seen, whole = text_of(app), lines_of(screen)
        await pilot.press("escape", "escape")
        await wait_for(pilot, HomeScreen)

    assert "1.5 x (mast + antenna above it)" in before
    assert "Sources" in before
    assert "Ground distance 90 ft (27.4 m), needs 67.5 ft (20.6 m)" in seen.replace("\n", " ")
    assert "2. all that can fall: 40 ft + 5 ft + 12 ft + clearance 10 ft = 67 ft" in whole
    assert "How far the mast can fall, from above" in whole
    assert BANNER in seen


async def test_typed_numbers_are_worked_out_as_they_come(app: StandclearApp) -> None:
    """Field by field with Enter; metres stand in feet beside; what is wrong is one sentence."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await lesson(pilot, "ladder-set")
        await pilot.press(*"6 m", "enter")
        first = text_of(app)
        await pilot.press(*"1.5")
        wrong = text_of(app)
        await pilot.press(*" m")
        await pilot.pause()
        done, whole = text_of(app), lines_of(screen)

    assert "= 19.7 ft" in first
    assert "no unit" in wrong
    assert "6 m x 0.25 = 1.5 m" in whole
    assert "WITHIN" in done.splitlines()[0]


async def test_the_old_result_stands_beside_the_new_one(app: StandclearApp) -> None:
    """Editing a value says what was and what is; the next value edited compares from there."""
    async with app.run_test(size=(130, 40)) as pilot:
        screen = await lesson(pilot, "power-line")
        await pilot.press("ctrl+e")
        field(screen, "ground-distance").value = "41 ft"
        await pilot.pause()
        nearer = lines_of(screen)
        field(screen, "mast-height").value = "10 ft"
        await pilot.pause()
        lower = lines_of(screen)
        title = text_of(app).splitlines()[0]

    assert "the finding: was within, is over" in nearer
    assert "the finding: was over, is within" in lower
    assert "that is needed: was 67.5 ft (20.6 m), is 37 ft (11.3 m)" in lower
    assert "OVER" not in title
    assert "WITHIN" in title


async def test_unknown_is_an_answer(app: StandclearApp) -> None:
    """A question mark is taken for unknown, and is never within."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await lesson(pilot, "ladder-set")
        await pilot.press("ctrl+e")
        field(screen, "set-back").value = "?"
        await pilot.pause()
        title, whole = text_of(app).splitlines()[0], lines_of(screen)

    assert "NOT SHOWN" in title
    assert "NOT SHOWN to be safe: stop" in whole


async def test_rows_are_typed_in_one_field(app: StandclearApp) -> None:
    """Several loads stand in one field with ; between them, and the bars are drawn."""
    async with app.run_test(size=(130, 40)) as pilot:
        screen = await lesson(pilot, "generator-load")
        await pilot.press("ctrl+e")
        field(
            screen, "loads"
        ).value = "fridge, 700 W, 2200 W, 1, R1, 20 A; rig, 600 W, 600 W, 2, R2, 20 A"
        await pilot.pause()
        whole = lines_of(screen)

    assert "running: 700 W + 600 W = 1300 W" in whole
    assert "Loads on the generator" in whole


async def test_hostile_text_is_shown_and_refused(app: StandclearApp) -> None:
    """Markup and escapes in a field are text: refused in a sentence, and harmless."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await lesson(pilot, "ladder-set")
        field(screen, "working-length").value = "[red]5 ft[/x]\x1b[31m"
        await pilot.pause()
        seen, said = text_of(app), str(screen.query_one("#notice", Static).content)
        whole = lines_of(screen)

    assert "[red]5 ft" in seen
    assert said.startswith("working-length: ")
    assert "\x1b" not in said + whole


async def test_nothing_is_written(app: StandclearApp, desk: Desk) -> None:
    """A whole lesson leaves no log folder behind."""
    async with app.run_test(size=(80, 24)) as pilot:
        await lesson(pilot, "ladder-set")
        await pilot.press("ctrl+e")
        await pilot.press("escape", "escape")
        await wait_for(pilot, HomeScreen)

    assert not desk.logs.exists() or not any(desk.logs.rglob("*.jsonl"))


async def test_words_narrow_the_list_and_no_match_says_so(app: StandclearApp) -> None:
    """The list holds what fits every word; arrows pass over the headings."""
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_for(pilot, HomeScreen)
        await pilot.press("c")
        screen = await wait_for(pilot, ClassScreen)
        every = len(screen.found)
        screen.query_one("#filter", Field).value = "thunder"
        await pilot.pause()
        few = [c.name for c in screen.found]
        screen.query_one("#filter", Field).value = "qqq"
        await pilot.pause()
        none, said = screen.found, text_of(app)

    assert every >= 42
    assert few == ["lightning"]
    assert none == ()
    assert "No calculation fits." in said


async def test_the_arrows_go_from_field_to_field(app: StandclearApp) -> None:
    """Down and up move between the inputs, and what is said below follows the field at hand."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await lesson(pilot, "power line")
        await pilot.press("down", "down")
        third = app.focused
        said = str(screen.query_one("#notice", Static).content)
        await pilot.press("up")
        second = app.focused

    assert screen._calculation.name == "power-line-distance"
    assert third is not None
    assert second is not None
    assert third.id == "input-sideways-reach"
    assert said.startswith("sideways-reach: ")
    assert second.id == "input-above-top"

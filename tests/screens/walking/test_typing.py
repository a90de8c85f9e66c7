"""What somebody is typing outlives a resize, the key for help, a paste, and going away."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.widgets import Input

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskText, AskYes
from checklist.screens.home import HomeScreen
from checklist.screens.hurt import HurtScreen
from checklist.screens.walking.field import Field
from checklist.screens.walking.formrow import FormRow
from checklist.screens.walking.sign import AskSigner
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.desk import Desk
from tests.screens.driving import text_of, until, wait_for
from tests.screens.everyscreen import SCREENS, at_step

SIZE = (80, 24)
TYPED_ON = [
    "walk, people", "walk, text", "walk, reading", "walk, tags", "walk, calculation",
    "walk, lines of a calculation", "walk, tags off", "walk, station file", "walk, near miss",
    "walk, note", "review", "in class", "which station", "hang a tag",
]  # fmt: skip


@pytest.mark.parametrize("name", TYPED_ON)
async def test_a_resize_help_and_a_paste_lose_nothing(desk: Desk, name: str) -> None:
    """Text, cursor and focus are the same after three sizes, and after help was looked at.

    Then three lines pasted are all there: joined in one field, or each in a row of its own.
    """
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        await SCREENS[name](pilot, app)
        await pilot.press("a", "b", "c", "left")
        field = app.focused
        assert isinstance(field, Input)
        before = (field.value, field.cursor_position)
        for size in ((100, 30), (200, 60), SIZE):
            await pilot.resize_terminal(*size)
            await pilot.pause()
        await pilot.press("ctrl+y")
        await wait_for(pilot, HurtScreen)
        await pilot.press("escape")
        await pilot.pause()

        assert app.focused is field
        assert (field.value, field.cursor_position) == before
        assert "abc" in field.value

        field.post_message(events.Paste("one, 1\ntwo, 2\r\nthree, 3\n"))
        pasted = ("one, 1", "two, 2", "three, 3")
        await until(pilot, lambda: all(line in _typed(app) for line in pasted), "all lines")


async def test_keys_that_come_at_once_land_where_they_were_typed(desk: Desk) -> None:
    """A slow line brings a name, Tab or Enter and a date in one piece: each has its own field."""
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        await SCREENS["hang a tag"](pilot, app)
        first, second, *_ = app.screen.query(Field)
        first.value = second.value = ""
        first.focus()
        await pilot.pause()
        for key in ("a", "b", "tab", "c", "d", "shift+tab", "e", "enter", "f"):
            app.post_message(events.Key(key, key if len(key) == 1 else None))
        await until(pilot, lambda: "f" in first.value + second.value, "the last key")

        assert (first.value, second.value) == ("abe", "cdf")


async def test_what_is_wrong_is_said_where_all_keys_come_at_once(desk: Desk) -> None:
    """A wrong length and Enter in one piece: what is wrong stays on the screen, with the text."""
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        await SCREENS["walk, reading"](pilot, app)
        field = app.focused
        assert isinstance(field, Field)
        field.value = ""
        await pilot.pause()
        for key in ("4", "x", "y", "enter"):
            app.post_message(events.Key(key, key if len(key) == 1 else None))
        await until(pilot, lambda: bool(app.screen.query(".understood.-wrong")), "what is wrong")
        await pilot.pause(0.1)

        assert app.screen.query(".understood.-wrong")
        assert field.value == "4xy"


def _typed(app: StandclearApp) -> str:
    return " ".join(one.value for one in app.screen.query(Input))


async def test_lines_are_rows_where_more_may_follow(desk: Desk) -> None:
    """Three locks pasted at once are three rows; what no field takes is not put in at all.

    A field with a million characters would make every key after it wait.
    """
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        await at_step("tower-work", "locks")(pilot, app)
        field: Any = app.focused
        lines = [f"breaker {n}, lock {n}, Tamsin Oakes" for n in (1, 2, 3)]
        field.post_message(events.Paste("\n".join(lines)))
        await until(pilot, lambda: _rows(app)[-1] == lines[-1])
        for too_much in ("x" * 1_000_000, "a\n" * 200):
            field.post_message(events.Paste(too_much))
            await pilot.pause(0.1)
        said = [notice.message for notice in app._notifications]

        assert _rows(app) == lines
        assert [s.partition(";")[0] for s in said] == [
            "The paste has 1000000 characters",
            "The paste has 400 characters",
        ]


def _rows(app: StandclearApp) -> list[str]:
    return [row.text for row in app.screen.query(FormRow) if row.row.name == "tag"]


async def test_a_passphrase_of_several_lines_is_refused(desk: Desk) -> None:
    """Nothing of several lines is put into a passphrase, and it is said.

    The keys below name Enter, which gives what is typed.
    """
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        app.push_screen(AskSigner(desk.folder, "helper", "Wren Holloway", []))
        asked = await wait_for(pilot, AskSigner)
        await pilot.press("enter")
        await until(pilot, lambda: bool(asked.query("#secret Field")))
        field = asked.query("#secret Field").first(Field)
        field.post_message(events.Paste("four plain\nwords here"))
        await pilot.pause(0.2)
        said = [notice.message for notice in app._notifications]

        assert "Enter goes on   Esc goes back" in text_of(app)
        assert field.value == ""
        assert said == ["A passphrase is one line: nothing was pasted."]


@pytest.mark.parametrize("away", [("pagedown", "pageup"), ("pageup", "pagedown")])
async def test_typed_text_is_there_again_after_another_step(
    desk: Desk, away: tuple[str, str]
) -> None:
    """What was typed and not given stands in the field when one comes back to the step."""
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        await at_step("tower-work", "call")(pilot, app)
        await pilot.press(*"gate", away[0])
        await pilot.pause(0.2)
        await pilot.press(away[1])
        await pilot.pause(0.2)
        again = app.screen.query(Field).first()

        assert again.value == "gate"


async def test_typed_text_is_there_again_after_leaving_the_walk(desk: Desk) -> None:
    """Escape leaves a walk; gone on with, the name that was typed and not given is there."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        walk = await wait_for(pilot, WalkScreen)
        session_id = walk.session.id
        await pilot.press(*"Wren", "escape")
        await wait_for(pilot, HomeScreen)
        app.go_on(session_id)
        again = await wait_for(pilot, WalkScreen)
        await until(pilot, lambda: bool(again.query(Field)))

        assert again.query(Field).first().value == "Wren"


async def test_a_question_that_was_left_has_its_text_again(desk: Desk) -> None:
    """A near miss half typed is there when it is asked again, and gone once it was given."""
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        await at_step("tower-work", "thunder")(pilot, app)
        await pilot.press("ctrl+n")
        await wait_for(pilot, AskText)
        await pilot.press(*"wrench", "escape")
        await wait_for(pilot, WalkScreen)
        await pilot.press("ctrl+n")
        again = await wait_for(pilot, AskText)
        kept = again.query_one(Field).value
        await pilot.press("enter")
        await wait_for(pilot, WalkScreen)
        await pilot.pause(0.2)
        await pilot.press("ctrl+n")
        anew = await wait_for(pilot, AskText)

        assert kept == "wrench"
        assert anew.query_one(Field).value == ""


class FullDisk(RealDisk):
    """A disk that is full."""

    full = False

    def write(self, handle: int, data: bytes) -> int:
        if self.full:
            raise OSError(errno.ENOSPC, "No space left on device")
        return super().write(handle, data)


async def test_an_unsaved_answer_is_not_lost_by_quitting(tmp_path: Path) -> None:
    """^Q with an answer that is NOT SAVED asks first; no is the way back to it."""
    disk = FullDisk()
    app = StandclearApp(Desk(tmp_path / "logs", disk, RealClock()), begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        walk = await wait_for(pilot, WalkScreen)
        disk.full = True
        await pilot.press("1")
        await until(pilot, lambda: "NOT SAVED" in text_of(app))
        await pilot.press("ctrl+q")
        await wait_for(pilot, AskYes)
        await pilot.press("n")
        await until(pilot, lambda: app.screen is walk)

        assert app.is_running
        assert walk.session.unsaved is not None

"""The walk screen: entries, stops and their evidence, saving, and what can go wrong."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Any

import pytest

from checklist.emergencies import emergencies
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskEvidence, AskText, AskYes
from checklist.screens.frame import BANNER
from checklist.screens.hurt import HurtScreen
from checklist.screens.walking.entries import Keys
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.screens.walking.sign import SignScreen
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.desk import Desk
from checklist.walk.standing import Status
from tests.screens.driving import give, text_of, until, wait_for

SIZE = (80, 24)
CREW = ["Wren Holloway, in charge", "Tamsin Reed, helper"]


class FullDisk(RealDisk):
    """A disk that is full from the moment it is told so."""

    full = False

    def write(self, handle: int, data: bytes) -> int:
        if self.full:
            raise OSError(errno.ENOSPC, "No space left on device")
        return super().write(handle, data)


async def begun(pilot: Any) -> WalkScreen:
    screen = await wait_for(pilot, WalkScreen)
    assert isinstance(screen, WalkScreen)
    return screen


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (180, 50)])
async def test_banner_and_the_key_for_help_stand_at_every_size(
    desk: Desk, size: tuple[int, int]
) -> None:
    """Banner, question, keys and SOMEONE IS HURT are all on the terminal at once."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=size) as pilot:
        await begun(pilot)
        seen = text_of(app)

    assert BANNER in seen
    assert "^Y SOMEONE IS HURT" in seen
    assert "Who is in charge" in seen
    assert len(seen.splitlines()) == size[1]


async def test_a_stop_is_answered_by_a_new_answer_with_its_evidence(desk: Desk) -> None:
    """A changed answer that clears a stop asks for the evidence that the rule file names."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        await give(pilot, ["Wren Holloway, in charge", "Wren Holloway, helper"])

        assert screen.state.status is Status.STOP
        assert "STOP" in text_of(app)

        form = screen.query_one("#entry").query_one(Form)
        list(form.query(Field))[1].value = "Tamsin Reed"
        form.submit()
        asked = await wait_for(pilot, AskEvidence)
        asked.query_one(Field).value = "Tamsin Reed came at ten"
        asked.query_one(Form).submit()
        await wait_for(pilot, WalkScreen)
        await until(pilot, lambda: screen._current != "crew")
        state = screen.session.progress().of("crew")

    assert state.status is Status.ANSWERED
    assert list(state.clearings[0].evidence.values()) == ["Tamsin Reed came at ten"]


async def test_going_back_from_the_evidence_leaves_the_stop_standing(desk: Desk) -> None:
    """Escape at the evidence changes nothing: the answer before still stops."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        await give(pilot, ["Wren Holloway, in charge", "Wren Holloway, helper"])
        form = screen.query_one("#entry").query_one(Form)
        list(form.query(Field))[1].value = "Tamsin Reed"
        form.submit()
        await wait_for(pilot, AskEvidence)
        await pilot.press("escape")
        await wait_for(pilot, WalkScreen)
        await pilot.pause(0.1)

        assert screen.state.status is Status.STOP
        assert len(screen.state.history) == 1


async def test_a_stop_that_nothing_answers_is_asked_about_first(desk: Desk) -> None:
    """A cord into an outlet is recorded only when it is really meant, and then ends the walk."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        await give(pilot, CREW)
        await pilot.press("4")
        asked = await wait_for(pilot, AskYes)
        assert "A cord from the set into an outlet" in text_of(app)
        await pilot.press("n")
        await until(pilot, lambda: asked not in app.screen_stack)
        assert screen.state.status is Status.OPEN

        await pilot.press("4")
        await wait_for(pilot, AskYes)
        await pilot.press("y")
        await until(pilot, lambda: len(screen.session.walk.events) == 2)
        await until(pilot, lambda: app.screen is screen)
        await pilot.press("ctrl+g")
        await wait_for(pilot, SignScreen)
        await until(pilot, lambda: "STOPPED" in text_of(app))


async def test_a_full_disk_says_not_saved_until_it_is(tmp_path: Path) -> None:
    """NOT SAVED stands on the screen, nothing else is taken, and ^R saves the kept answer."""
    disk = FullDisk()
    desk = Desk(tmp_path / "logs", disk, RealClock())
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        disk.full = True
        form = screen.query_one("#entry").query_one(Form)
        for field, name in zip(form.query(Field), ("Wren Holloway", "Tamsin Reed"), strict=True):
            field.value = name
        form.submit()
        await until(pilot, lambda: "NOT SAVED" in text_of(app))
        assert not screen.session.walk.events

        await pilot.press("escape")
        assert isinstance(app.screen, WalkScreen)

        await pilot.press("ctrl+r")
        await pilot.pause(0.3)
        assert "NOT SAVED" in text_of(app)

        disk.full = False
        await pilot.press("ctrl+r")
        await until(pilot, lambda: "NOT SAVED" not in text_of(app))
        seen = text_of(app)

    assert "NOT SAVED" not in seen
    assert [event.step for event in screen.session.walk.events] == ["crew"]  # type: ignore[union-attr]


async def test_a_run_of_keys_answers_nothing(desk: Desk) -> None:
    """Words typed where one key is wanted are text gone astray: no answer is taken from them."""
    app = StandclearApp(desk, begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        keys = screen.query_one("#entry").query_one(Keys)
        for character in "1y":
            keys.on_key(_key(character))
        await pilot.pause(0.5)

        assert screen.state.status is Status.OPEN


def _key(character: str) -> Any:
    from textual.events import Key

    return Key(character, character)


async def test_a_rehearsal_says_so_and_writes_nothing(desk: Desk) -> None:
    """A rehearsal walks the same way, says so in its title, and leaves no log folder behind."""
    app = StandclearApp(desk, begin="tower-work", rehearse=True)
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        await give(pilot, "climb")
        seen = text_of(app)

    assert "REHEARSAL" in seen
    assert len(screen.session.walk.events) == 1
    sessions = desk.logs / "sessions"
    assert not sessions.exists() or not list(sessions.iterdir())


async def test_markup_and_escapes_in_answers_are_plain_text(desk: Desk) -> None:
    """Markup in a name is shown letter for letter; a terminal escape is refused in one sentence."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        await give(pilot, ["W[/x]ren [bold], in charge", "Tam[@click=app.quit]sin, helper"])
        await pilot.press("pageup")
        await until(pilot, lambda: "W[/x]ren [bold]" in text_of(app))

        form = screen.query_one("#entry").query_one(Form)
        fields = list(form.query(Field))
        fields[0].value = "Wren\x1b]52;c;aGk=\x07"
        await pilot.pause()
        form.submit()
        await until(pilot, lambda: "U+001B" in text_of(app))

    assert len(screen.session.walk.events) == 1


async def test_wrong_input_is_one_sentence_and_stays_in_its_field(desk: Desk) -> None:
    """A number without unit is refused with what would be right, and not lost."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        example = desk.library.load("emergency-power").rule_file.examples[0]
        while (state := screen.session.progress().next_open) and state.step.id != "openings":
            await give(pilot, example.answers[state.step.id])
        form = screen.query_one("#entry").query_one(Form)
        form.query(Field).first().value = "25"
        await pilot.pause()
        form.submit()
        await until(pilot, lambda: "has no unit" in text_of(app))
        row = form.query(FormRow).first()

        assert row.text == "25"


async def test_stop_of_work_asks_volatile_answers_again(desk: Desk) -> None:
    """After a stop of work has ended, an answer with a life is open again."""
    app = StandclearApp(desk, begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot)
        example = desk.library.load("tower-work").rule_file.examples[0]
        while (state := screen.session.progress().next_open) and state.step.id != "locks":
            await give(pilot, example.answers[state.step.id])
        assert screen.session.progress().of("thunder").status is Status.ANSWERED

        await pilot.press("ctrl+s")
        asked = await wait_for(pilot, AskText)
        asked.query_one(Field).value = "thunder heard"
        asked.query_one(Form).submit()
        await until(pilot, lambda: "WORK STOPPED" in text_of(app))

        await pilot.press("ctrl+s")
        await wait_for(pilot, AskYes)
        await pilot.press("y")
        await until(pilot, lambda: not screen.session.progress().work_stopped)
        await until(pilot, lambda: "WORK STOPPED" not in text_of(app))

        assert screen.session.progress().of("thunder").status is Status.EXPIRED


@pytest.mark.parametrize("emergency", emergencies(), ids=lambda e: e.name)
async def test_help_comes_while_typing_and_fits_one_screen(desk: Desk, emergency: Any) -> None:
    """Ctrl+Y works in a field; each kind of harm is one screen with the same first words."""
    app = StandclearApp(desk, begin="emergency-power")
    async with app.run_test(size=SIZE) as pilot:
        await begun(pilot)
        await pilot.press("W", "r", "ctrl+y")
        await wait_for(pilot, HurtScreen)
        assert "Do not become the second one." in text_of(app)
        await pilot.press(emergency.key)
        await until(pilot, lambda: "1. Do not become" in text_of(app))
        seen = text_of(app)
        hidden = app.screen.query_one("#hurt").max_scroll_y

    assert "1. Do not become the second one." in seen
    assert BANNER in seen
    assert hidden == 0

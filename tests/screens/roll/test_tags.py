"""The screens about locks and tags: what hangs, the guided paths, and the step that wants none."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.widgets import OptionList

from checklist.record.ledgers.tags import Tag
from checklist.rulefile import Reading
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm, AskOne, AskYes
from checklist.screens.frame import BANNER
from checklist.screens.home import HomeScreen
from checklist.screens.roll.tags import TagsScreen
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.screens.walking.sign import AskSigner
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.desk import Desk
from checklist.sessions.tagging.hanging import Hanging, hang
from checklist.sessions.tagging.tags import AT_THE_POINT, look_at_tags
from checklist.walk.entry import read_answer
from checklist.walk.standing import Status
from tests.screens.driving import WORDS, settled, text_of, until, wait_for
from tests.sessions.releasing import NAME, desk_for_release

SIZE = (80, 24)
WREN = "Wren Holloway"


def hung(desk: Desk, lock: str = "5", person: str = WREN, why: str = "rotator") -> Tag:
    return hang(desk.folder, Hanging("breaker 14", lock, person, why, "8 h", "channel 7"))


def open_locks(desk: Desk) -> list[str]:
    return [tag.lock for tag in look_at_tags(desk.folder).open]


async def tags_screen(pilot: Any) -> TagsScreen:
    """Go from home to the tags and wait until they are read."""
    await wait_for(pilot, HomeScreen)
    await pilot.press("t")
    screen = await wait_for(pilot, TagsScreen)
    assert isinstance(screen, TagsScreen)
    await settled(pilot)
    return screen


async def back(pilot: Any) -> None:
    """Wait until a path has ended on the tags, and they are read anew."""
    await wait_for(pilot, TagsScreen)
    await settled(pilot)


async def fill(pilot: Any, screen: Any, *texts: str) -> None:
    """Type into the fields of a question from above to below, and give them."""
    await until(pilot, lambda: len(screen.query(Field)) >= len(texts))
    rows = list(screen.query(FormRow))
    for row, text in zip(rows, texts, strict=False):
        row.query_one(Field).value = text
    screen.query(Form).last().submit()
    await pilot.pause(0.05)


async def sign(pilot: Any, name: str = "") -> None:
    """Give name and passphrase, twice for a new key."""
    screen = await wait_for(pilot, AskSigner)
    if name:
        screen.query_one(Field).value = name
    screen.query_one("#person", Form).submit()
    await until(pilot, lambda: bool(screen.query("#secret Field")), "the field")
    await pilot.pause()
    for field in screen.query("#secret Field").results(Field):
        field.value = WORDS
    screen.query_one("#secret", Form).submit()
    for _ in range(300):
        await pilot.pause(0.02)
        if pilot.app.screen is not screen:
            break


async def test_home_shows_open_tags_with_age(app: StandclearApp, desk: Desk) -> None:
    """A tag stands on home with point, lock, person and how long it hangs; Enter goes to it."""
    hung(desk, why="[/x] markup")
    async with app.run_test(size=SIZE) as pilot:
        home = await wait_for(pilot, HomeScreen)
        for _ in range(100):
            await pilot.pause(0.02)
            if "tag hangs" in text_of(app):
                break
        seen = text_of(app)
        home.query_one(OptionList).highlighted = 1
        await pilot.press("enter")
        await back(pilot)
        detail = text_of(app)

    assert "tag hangs 0 min" in seen
    assert "breaker 14, lock 5, Wren Holloway" in seen
    assert "[/x] markup" in detail


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
async def test_tags_screen_says_that_the_lock_decides(
    app: StandclearApp, desk: Desk, size: tuple[int, int]
) -> None:
    """The word on the lock, the tag with everything known of it, banner and keys are in sight."""
    hung(desk, person="Zoë O’Hara [bold]")
    async with app.run_test(size=size) as pilot:
        await tags_screen(pilot)
        seen = text_of(app)

    assert AT_THE_POINT in seen
    assert "Zoë O’Hara [bold]" in seen
    assert "channel 7" in seen
    assert "^Y SOMEONE IS HURT" in seen
    assert BANNER in seen
    assert all(word in seen for word in ("take off", "hang", "shift", "other's", "page", "log"))


async def test_hang_asks_again_for_what_is_wrong(app: StandclearApp, desk: Desk) -> None:
    """A nonsense end is said above the fields, with all that was typed; mended, it hangs."""
    async with app.run_test(size=SIZE) as pilot:
        await tags_screen(pilot)
        await pilot.press("h")
        first = await wait_for(pilot, AskForm)
        await fill(pilot, first, "breaker 14", "5", WREN, "rotator", "25:99")
        await until(pilot, lambda: isinstance(app.screen, AskForm) and app.screen is not first)
        await pilot.pause()
        seen = text_of(app)
        values = [field.value for field in app.screen.query(Field)]
        await fill(pilot, app.screen, "breaker 14", "5", WREN, "rotator", "8 h", "channel 7")
        await back(pilot)

    assert "is not a time" in seen
    assert values[:5] == ["breaker 14", "5", WREN, "rotator", "25:99"]
    assert open_locks(desk) == ["5"]


async def test_applier_takes_it_off(app: StandclearApp, desk: Desk) -> None:
    """Enter, yes, a count, the applier's passphrase: off, and said with its entry."""
    hung(desk)
    async with app.run_test(size=SIZE) as pilot:
        await tags_screen(pilot)
        await pilot.press("enter")
        await wait_for(pilot, AskYes)
        asked = text_of(app)
        await pilot.press("y")
        await fill(pilot, await wait_for(pilot, AskForm), "0")
        await sign(pilot)
        await back(pilot)
        seen = text_of(app)

    assert AT_THE_POINT in " ".join(asked.replace("║", " ").split())
    assert open_locks(desk) == []
    assert "The tag is off: entry 2." in seen


async def test_shift_changes_on_one_path(app: StandclearApp, desk: Desk) -> None:
    """The new lock is entered first; both hang while it is asked whether the old one is off."""
    hung(desk)
    async with app.run_test(size=SIZE) as pilot:
        await tags_screen(pilot)
        await pilot.press("s")
        await fill(pilot, await wait_for(pilot, AskForm), "Tamsin Reed", "9", "8 h")
        await wait_for(pilot, AskYes)
        between = open_locks(desk)
        await pilot.press("y")
        await fill(pilot, await wait_for(pilot, AskForm), "1")
        await sign(pilot)
        await back(pilot)

    assert between == ["5", "9"]
    assert open_locks(desk) == ["9"]


async def test_shift_that_is_broken_off_leaves_both(app: StandclearApp, desk: Desk) -> None:
    """Going back between the two halves leaves both locks on, and the screen says so."""
    hung(desk)
    async with app.run_test(size=SIZE) as pilot:
        await tags_screen(pilot)
        await pilot.press("s")
        await fill(pilot, await wait_for(pilot, AskForm), "Tamsin Reed", "9", "8 h")
        await wait_for(pilot, AskYes)
        await pilot.press("n")
        await back(pilot)
        seen = text_of(app)

    assert open_locks(desk) == ["5", "9"]
    assert "Both locks hang" in seen


async def test_removal_by_another_asks_all_three_facts(app: StandclearApp, desk: Desk) -> None:
    """A fact that is not known keeps the lock on; with all and two signatures it comes off."""
    hung(desk)
    async with app.run_test(size=SIZE) as pilot:
        await tags_screen(pilot)
        await pilot.press("o")
        first = await wait_for(pilot, AskForm)
        await fill(pilot, first, "gate book", "?", "by phone before", "0")
        await until(pilot, lambda: isinstance(app.screen, AskForm) and app.screen is not first)
        refused = open_locks(desk)
        await fill(pilot, app.screen, "gate book", "called twice", "by phone before", "0")
        await wait_for(pilot, AskOne)
        await pilot.press("1")
        await sign(pilot, "Tamsin Reed")
        await pilot.pause(0.1)
        await sign(pilot, "Orrin Vale")
        await back(pilot)
        seen = text_of(app)

    assert refused == ["5"]
    assert open_locks(desk) == []
    assert "Tell Wren Holloway before any work goes on." in " ".join(seen.split())


async def test_walk_fills_in_the_applier(desk: Desk) -> None:
    """In a walk point and lock are typed; the name comes from the crew, the reach is asked once."""
    app = StandclearApp(desk, begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        screen = await wait_for(pilot, WalkScreen)
        _answer_until(screen, "locks")
        await screen._show("locks")
        form = screen.query_one("#entry").query_one(Form)
        labels = [row.row.label for row in form.query(FormRow)]
        rows = {row.row.name: row.query_one(Field) for row in form.query(FormRow)}
        rows["tag"].value, rows["reach"].value = "breaker 14, 5", "channel 7"
        form.submit()
        for _ in range(200):
            await pilot.pause(0.02)
            if open_locks(desk) and screen._known.reached:
                break
        await screen._show("locks")
        again = [row.row.label for row in screen.query_one("#entry").query(FormRow)]
    tag = look_at_tags(desk.folder).open[0]

    assert labels == ["lock and tag", f"reach {tag.person}"]
    assert (tag.point, tag.lock, tag.reach) == ("breaker 14", "5", "channel 7")
    assert tag.person
    known = desk.registers.person(tag.person)

    assert known is not None
    assert known.reach == "channel 7"
    assert f"reach {tag.person}" not in again


def _answer_until(screen: WalkScreen, last: str) -> None:
    """Answer every step before `last` as the first example of the rule file does."""
    session = screen.session
    answers = session.walk.rule_file.examples[0].answers
    while (state := session.progress().next_open) and state.step.id != last:
        kind = state.step.kind
        instrument = kind.instrument if isinstance(kind, Reading) else ""
        answer = read_answer(state.step, answers[state.step.id], instrument=instrument)
        session.answer(state.step.id, answer)


async def test_step_that_wants_no_tag_shows_what_hangs(tmp_path: Path) -> None:
    """The points with tags stand in the entry; answered, the step stops and names the lock."""
    desk = desk_for_release(tmp_path)
    hung(desk)
    app = StandclearApp(desk, begin=NAME)
    async with app.run_test(size=SIZE) as pilot:
        screen = await wait_for(pilot, WalkScreen)
        before = text_of(app)
        form = screen.query_one("#entry").query_one(Form)
        rows = {row.row.name: row.query_one(Field) for row in form.query(FormRow)}
        point = rows["points"].value
        rows["others"].value = "none"
        form.submit()
        await until(pilot, lambda: "hangs at breaker 14" in " ".join(text_of(app).split()))
        seen = text_of(app)

    assert point == "breaker 14"
    assert "hangs there: lock 5 of Wren Holloway" in before
    assert screen.state.status is Status.STOP
    assert "lock 5 of Wren Holloway hangs at breaker 14" in " ".join(seen.split())


async def test_a_folder_that_cannot_be_written_is_shown(app: StandclearApp, desk: Desk) -> None:
    """What hangs is listed where nothing can be entered; hanging one more is refused in words."""
    hung(desk)
    del desk.__dict__["folder"]  # as the next start finds it
    desk.logs.chmod(0o777)
    async with app.run_test(size=SIZE) as pilot:
        await tags_screen(pilot)
        await pilot.press("h")
        await settled(pilot)
        seen = " ".join(text_of(app).split())

    assert "breaker 14, lock 5" in seen
    assert "other users of this computer can change this folder" in seen

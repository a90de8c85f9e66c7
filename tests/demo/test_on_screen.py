"""The invented club from home: asked for, built while one looks on, and marked on every screen."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
from textual.widgets import Input

from checklist.demo import building
from checklist.demo.club import Club
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm
from checklist.screens.demo import Building
from checklist.screens.home import HomeScreen
from checklist.screens.roll.tags import TagsScreen
from checklist.screens.walking.field import Field
from checklist.sessions.desk import Desk
from tests.screens.driving import text_of, until, wait_for
from tests.sessions.pastsessions import desk_at, walked

SIZE = (80, 24)


@pytest.fixture
def app(tmp_path: Path) -> StandclearApp:
    return StandclearApp(Desk(tmp_path / "logs", RealDisk(), RealClock()))


async def test_d_builds_the_club_and_opens_it(
    app: StandclearApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing is recorded, d asks for a folder beside the logs, builds, and opens it."""
    monkeypatch.setattr(building, "build", partial(building.build, whole_year=False))
    async with app.run_test(size=SIZE) as pilot:
        await until(pilot, lambda: "an invented club" in text_of(app), "the line under TRY")

        assert "INVENTED CLUB" not in text_of(app)

        await pilot.press("d")
        asked = await wait_for(pilot, AskForm)
        field = asked.query(Field).first()

        assert field.value == str(tmp_path / "invented-club")

        await pilot.press("enter")
        await wait_for(pilot, HomeScreen)
        await until(pilot, lambda: "mast light supply" in text_of(app), "the tag that hangs")

        assert app.desk.logs == tmp_path / "invented-club" / "hill" / "logs"
        assert text_of(app).splitlines()[0].lstrip().startswith("INVENTED CLUB")
        assert "unfinished: Before tower" in text_of(app)
        assert "TRY" not in text_of(app)

        await pilot.press("t")
        await wait_for(pilot, TagsScreen)
        await pilot.pause()

        assert text_of(app).splitlines()[0].lstrip().startswith("INVENTED CLUB")


async def test_escape_stops_the_building_and_leaves_nothing(
    app: StandclearApp, tmp_path: Path
) -> None:
    """Stopped on the way, the folder is empty again and the sentence says so."""
    async with app.run_test(size=SIZE) as pilot:
        await until(pilot, lambda: "an invented club" in text_of(app), "the line under TRY")
        await pilot.press("d")
        await wait_for(pilot, AskForm)
        await pilot.press("enter")
        await wait_for(pilot, Building)
        await pilot.press("escape")
        await wait_for(pilot, AskForm)
        await until(pilot, lambda: "was stopped" in text_of(app), "what was stopped")

        assert list((tmp_path / "invented-club").iterdir()) == []


def words(app: StandclearApp) -> str:
    """Return what stands on the screen as one line, wherever it was wrapped, without the frame."""
    return " ".join(text_of(app).replace("║", " ").split())


async def test_a_folder_that_is_not_empty_is_asked_again(
    app: StandclearApp, tmp_path: Path
) -> None:
    """What was typed stays, and the sentence says what is wrong with it."""
    async with app.run_test(size=SIZE) as pilot:
        await until(pilot, lambda: "an invented club" in text_of(app), "the line under TRY")
        await pilot.press("d")
        asked = await wait_for(pilot, AskForm)
        asked.query_one(Input).value = str(tmp_path)
        await pilot.press("enter")
        await until(pilot, lambda: "Name a new or empty one" in words(app), "refusal")

        assert not (tmp_path / "hill").exists()


async def test_d_builds_nothing_where_something_is_recorded(tmp_path: Path) -> None:
    """Beside real records no invented ones are offered; the key says what to type instead."""
    desk = desk_at(tmp_path)
    walked(desk).close()
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await until(pilot, lambda: "unfinished" in text_of(app), "the walk")

        assert "TRY" not in text_of(app)

        await pilot.press("d")
        await until(pilot, lambda: "standclear demo FOLDER" in text_of(app), "what to type")

        assert isinstance(app.screen, HomeScreen)


async def test_d_builds_nothing_in_the_invented_club(club: Club) -> None:
    """There the key says where one is."""
    app = StandclearApp(Desk(club.desks["cellar"].logs, RealDisk(), RealClock()))
    async with app.run_test(size=SIZE) as pilot:
        await until(pilot, lambda: "NOT SEALED" in text_of(app), "the session that lacks one")
        await pilot.press("d")
        await until(pilot, lambda: "This is the invented club." in text_of(app), "where one is")

        assert isinstance(app.screen, HomeScreen)

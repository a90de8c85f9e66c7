"""Every key that a screen names does something that people can see."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Footer

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
from checklist.sessions.desk import Desk
from tests.screens.driving import settled, text_of, until
from tests.screens.everyscreen import SCREENS

KEYS_BESIDE = {
    "home": {"f", "t", "p", "a", "n", "e", "s", "c", "f4"},
    "session": {"f3"},
    "walk, one key": {"pageup", "pagedown", "ctrl+n", "ctrl+t", "ctrl+o", "ctrl+p"},
}
"""Keys that a screen names elsewhere than in its key line."""

TURNS_NO_PAGE = {"review": {"pageup", "pagedown"}}
"""The club of these tests has walked once: a list of one session has no second page."""

WITH_KEYS = (
    "home",
    "walk, one key",
    "walk, a stop that evidence answers",
    "sign",
    "review",
    "session",
    "correct",
    "numbers",
    "one number",
    "tags",
    "people",
    "audit",
    "audit, a session",
    "exposure",
    "station",
    "in class",
    "lesson",
    "manual",
)
"""Every kind of screen that has a key line, once."""


def named_keys(app: StandclearApp, name: str) -> list[str]:
    """Return the keys that the screen names, the ones that leave it last."""
    shown = {key.key for footer in app.screen.query(Footer) for key in footer.query("FooterKey")}  # type: ignore[attr-defined]  # a FooterKey
    wanted = (shown | KEYS_BESIDE.get(name, set())) - TURNS_NO_PAGE.get(name, set())
    return sorted(wanted, key=lambda key: (key in {"escape", "q"}, key))


class Trying:
    """Presses the keys of one screen, each from that screen."""

    def __init__(self, pilot: Pilot[None], app: StandclearApp, name: str) -> None:
        self.pilot, self.app, self.name = pilot, app, name
        self.left: list[str] = []

    async def reach(self) -> None:
        """Go to the screen from home, whatever is open."""
        if not isinstance(self.app.screen, HomeScreen):
            self.app.action_home()
        await until(self.pilot, lambda: isinstance(self.app.screen, HomeScreen), "home")
        await until(self.pilot, lambda: "unfinished" in text_of(self.app), "home is read")
        await SCREENS[self.name](self.pilot, self.app)

    async def does_something(self, key: str) -> bool:
        """Press a key and say whether anything on the terminal changed; then go back."""
        start, before = self.app.screen, self._seen()
        await self.pilot.press(key)
        for _ in range(40):
            if self._seen() != before:
                break
            await self.pilot.pause(0.05)
        changed = self._seen() != before
        await settled(self.pilot)
        for _ in range(4):
            if self.app.screen is start or key == "escape":
                break
            await self.pilot.press("escape")
            await self.pilot.pause(0.05)
        if self.app.screen is not start and key != "escape":
            await self.reach()
        return changed

    def _seen(self) -> tuple[str, str, bool]:
        return text_of(self.app), self.app.theme, bool(self.left)

    async def without_effect(self) -> Iterator[str]:
        """Return the keys after which all looked as before, at first and once more at the end.

        Once more, because what is shown already, or not yet to be undone, changes by no key.
        """
        await self.reach()
        keys = named_keys(self.app, self.name)
        assert keys
        again = [key for key in keys if not await self.does_something(key)]
        if again:
            await self.reach()
        return iter([key for key in again if not await self.does_something(key)])


async def test_every_key_that_a_screen_names_is_seen_to_do_something(
    tmp_path: Path, club: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each is pressed once, on every kind of screen, and the terminal looks different."""
    shutil.copytree(club, tmp_path / "club")
    app = StandclearApp(Desk(tmp_path / "club" / "logs", RealDisk(), RealClock()))
    dead: list[str] = []
    async with app.run_test(size=(80, 24)) as pilot:
        for name in WITH_KEYS:
            trying = Trying(pilot, app, name)
            monkeypatch.setattr(app, "exit", lambda trying=trying: trying.left.append("left"))
            dead += [f"{name}: {key}" for key in await trying.without_effect()]
        monkeypatch.undo()

    assert dead == []

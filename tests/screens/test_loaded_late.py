"""What a screen is made of is loaded when it is first opened, and not on the event loop."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

MOST = 5
"""Modules at one key that may load on the loop: a few small ones, 15 ms of them at most."""

SCRIPT = """
import asyncio, json, sys, threading
from pathlib import Path

noted = []

class Noting:
    def find_spec(self, name, path=None, target=None):
        if name.startswith("checklist") and threading.current_thread() is threading.main_thread():
            noted.append(name)

from checklist.screens.app import StandclearApp
from checklist.sessions.desk import Desk

async def main():
    app = StandclearApp(Desk.at(Path(sys.argv[1])))
    found = {}
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.5)
        await app.workers.wait_for_complete()
        home = app.screen
        sys.meta_path.insert(0, Noting())
        for key in sys.argv[2:]:
            before = len(noted)
            await pilot.press(key)
            for _ in range(500):
                if app.screen is not home:
                    break
                await pilot.pause(0.02)
            name = type(app.screen).__name__
            await pilot.pause(0.1)
            found[key] = [name, noted[before:]]
            for _ in range(100):
                if app.screen is home:
                    break
                await pilot.press("escape")
                await pilot.pause(0.05)
    print(json.dumps(found))

asyncio.run(main())
"""

PLACES = {
    "f": "ReviewScreen",
    "t": "TagsScreen",
    "p": "PeopleScreen",
    "a": "AuditScreen",
    "n": "NumbersScreen",
    "c": "ClassScreen",
    "f1": "HelpScreen",
    "ctrl+y": "HurtScreen",
    "ctrl+p": "Palette",
    "enter": "WalkScreen",
}
"""What each key of home opens; those that ask for a file first show what they ask with."""


def test_no_key_waits_for_what_is_loaded(tmp_path: Path) -> None:
    """Each place opened for the first time loads in a thread what takes 20 to 190 ms."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(tmp_path / "logs"), *PLACES],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "TERM": "xterm-256color"},
    )
    found = json.loads(done.stdout.splitlines()[-1])

    assert {key: name for key, (name, _) in found.items()} == PLACES
    assert {key: on_loop for key, (_, on_loop) in found.items() if len(on_loop) > MOST} == {}


def test_home_is_shown_before_the_arithmetic_is_loaded() -> None:
    """What a walk computes and reads with is not loaded for the first screen."""
    script = "import sys, checklist.screens.app; print(*sorted(sys.modules))"
    found = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    ).stdout.split()
    heavy = {"checklist.calculations", "checklist.rulefile", "checklist.walk", "yaml", "pydantic"}

    assert "checklist.screens.home" in found
    assert heavy & set(found) == set()

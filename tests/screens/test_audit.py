"""The audit on the screen: worst first, and the session of a finding at one key."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from checklist.screens.app import StandclearApp
from checklist.screens.audit import AuditedSessionScreen, AuditScreen, PlainScreen
from checklist.screens.frame import BANNER
from tests.audit.logs import finished
from tests.screens.driving import text_of, wait_for


async def audited(pilot: Pilot[None]) -> AuditScreen:
    """Open the audit from home with its key and wait until it is made."""
    await pilot.press("a")
    screen: AuditScreen = await wait_for(pilot, AuditScreen)
    for _ in range(300):
        if screen.report is not None:
            break
        await pilot.pause(0.02)
    await pilot.pause()
    return screen


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
async def test_the_worst_is_first_and_opens_its_session(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """A changed session is the first finding; Enter opens it, with the finding above it."""
    desk = finished(tmp_path)
    path = next(p for p in desk.logs.glob("sessions/*.jsonl") if b"wrench fell" in p.read_bytes())
    path.write_bytes(path.read_bytes().replace(b"wrench fell", b"wrench flew"))
    app = StandclearApp(desk)
    async with app.run_test(size=size) as pilot:
        screen = await audited(pilot)
        text = text_of(app)
        first = screen.query_one(OptionList).get_option_at_index(0)

        assert "FAILS" in str(first.prompt)
        assert "does not hold" in text
        assert BANNER in text
        assert text.index("FAILS") < text.index("line hashes")
        await pilot.press("enter")
        opened = await wait_for(pilot, AuditedSessionScreen)
        for _ in range(200):
            if "Mast [/x]" in str(opened.query_one("#text", Static).render()):
                break
            await pilot.pause(0.02)

        assert "FAILS: " in text_of(app)
        assert "Mast [/x] work [bold]" in str(opened.query_one("#text", Static).render())


async def test_what_it_cannot_catch_is_one_key_away(tmp_path: Path) -> None:
    """The limits of the audit are on the screen, and Escape leads back to the findings."""
    app = StandclearApp(finished(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await audited(pilot)
        await pilot.press("w")
        await wait_for(pilot, PlainScreen)

        assert "A session that was never begun." in text_of(app)
        await pilot.press("escape")
        assert app.screen is screen

"""F4 puts what is marked on paper, beside the log folder, and says where."""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable

from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
from checklist.screens.hurt import HurtScreen
from checklist.sessions.desk import Desk
from tests.screens.driving import text_of, until, wait_for


async def test_f4_on_home_prints_the_marked_rule_file(app: StandclearApp, desk: Desk) -> None:
    """The blank form lies beside the log folder; pressed again it overwrites nothing."""
    pages = desk.logs.parent / "pages"
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_for(pilot, HomeScreen)
        for count in (1, 2):
            await pilot.press("f4")
            await until(pilot, lambda n=count: len(list(pages.glob("form-*.pdf"))) == n, "pages")  # type: ignore[misc]  # n is bound early
            await until(pilot, lambda: "Written" in text_of(app), "where the page is")

    assert [path.read_bytes()[:5] for path in pages.iterdir()] == [b"%PDF-"] * 2


async def test_escape_stops_a_page_and_nothing_is_written(app: StandclearApp, desk: Desk) -> None:
    """A page that takes long says how far it is; Escape ends its thread, and no file is there.

    Where nothing is under way Escape belongs to the screen.
    """
    ended: list[int] = []

    def endless(tell: Callable[[str, int, int], None]) -> None:
        try:
            for done in itertools.count():
                tell("rows of the map", done, 500)
                time.sleep(0.01)
        finally:
            ended.append(1)

    async with app.run_test(size=(80, 24)) as pilot:
        await wait_for(pilot, HomeScreen)
        app.put_on_paper(("endless", endless))
        await until(pilot, lambda: "of 500; Esc stops it" in text_of(app), "how far it is")
        await pilot.press("escape")
        await until(pilot, lambda: bool(ended), "the thread's end")
        await until(pilot, lambda: "Nothing unfinished is kept." in text_of(app), "the word")
        await pilot.press("ctrl+y")
        hurt = await wait_for(pilot, HurtScreen)
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is not hurt, "Escape leads back")

    assert not (desk.logs.parent / "pages").exists()

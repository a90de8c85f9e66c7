"""F4 puts what is marked on paper, beside the log folder, and says where."""

from __future__ import annotations

from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
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

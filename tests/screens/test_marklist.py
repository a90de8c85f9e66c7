"""The mark in a list stays at the ends."""

from __future__ import annotations

from pathlib import Path

from textual.app import App, ComposeResult
from textual.widgets.option_list import Option

from checklist.screens.marklist import MarkList

SCREENS = Path(__file__).resolve().parents[2] / "checklist" / "screens"


class _Listed(App[None]):
    def compose(self) -> ComposeResult:
        yield MarkList(Option("HEAD", disabled=True), Option("one"), Option("two"))


async def test_the_mark_does_not_go_round() -> None:
    """Up at the first line that can be marked and Down at the last stay there."""
    app = _Listed()
    seen = []
    async with app.run_test():
        listed = app.query_one(MarkList)
        listed.highlighted = 1
        for move in ("up", "down", "down", "up"):
            getattr(listed, f"action_cursor_{move}")()
            seen.append(listed.highlighted)

    assert seen == [1, 2, 2, 1]


def test_every_list_of_ours_is_such_a_list() -> None:
    """No screen makes a list of another kind, in which Up at the top leads to the end."""
    others = [
        path.name
        for path in SCREENS.rglob("*.py")
        if path.name != "marklist.py"
        for line in path.read_text(encoding="utf-8").splitlines()
        if ("(OptionList" in line.replace("query_one(OptionList)", "") and "class " in line)
        or " OptionList(" in line
    ]

    assert others == []

"""Whole lines to read: a page of text that scrolls, broken to the width there is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from checklist.plaintext import shown
from checklist.screens.frame import Framed
from checklist.screens.past.session import broken


class PlainScreen(Framed):
    """Whole lines to read."""

    DEFAULT_CSS: ClassVar[str] = """
    PlainScreen #plain { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    PlainScreen #plain Static { height: auto; }
    """

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self._title, self._lines = title, tuple(lines)

    def body(self) -> ComposeResult:
        """Yield the lines."""
        with VerticalScroll(id="plain"):
            yield Static(id="text", markup=False)

    def on_mount(self) -> None:
        """Show them."""
        self.title_line.say(self._title)
        self.query_one("#plain").focus()
        self.lay_out()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.lay_out()

    def lay_out(self) -> None:
        """Break every line to the width there is."""
        if not self.query("#text"):  # left while something was read
            return
        width = max(self.size.width - 4, 20)
        rows = [row for line in self._lines for row in broken(shown(line), width)]
        self.query_one("#text", Static).update(Content("\n".join(rows)))

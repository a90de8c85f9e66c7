"""A picture over the whole screen, drawn as text."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from checklist.pictures.drawing import Picture, picture_text
from checklist.plaintext import shown
from checklist.screens.frame import Framed

_WIDEST = 110
_BESIDE = 3
"""Columns that margin and scroll bar take."""


class PictureScreen(Framed):
    """Shows one picture with its legend; the arrow keys move it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "back")]
    DEFAULT_CSS: ClassVar[str] = """
    PictureScreen #picture { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    PictureScreen #picture Static { height: auto; }
    """

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self._picture = picture

    def body(self) -> ComposeResult:
        """Yield room for the picture."""
        with VerticalScroll(id="picture"):
            yield Static(id="drawn", markup=False)

    def on_mount(self) -> None:
        """Put the focus on the picture, so that the keys move it."""
        self.query_one("#picture").focus()
        self.title_line.say(self._picture.title)

    def on_resize(self, event: events.Resize) -> None:
        """Draw it anew at the size there is."""
        width = min(_WIDEST, max(40, event.size.width - _BESIDE))
        # Title, banner, keys, axis and its label stay beside the drawing itself.
        height = max(9, event.size.height - 8)
        lines = picture_text(self._picture, width, height)
        if lines and lines[0] == self._picture.title:  # the line above says it
            lines = lines[1:]
        drawn = self.query_one("#drawn", Static)
        drawn.update(Content("\n").join(Content(shown(line)) for line in lines))

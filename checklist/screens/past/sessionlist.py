"""A list of sessions that is as quick with ten thousand of them as with ten."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from checklist.plaintext import shown
from checklist.record.lookup.card import Card

ROW = 2
"""Lines of one session: when and what, then the result and who; nothing of a result is cut off."""

_MARK = Style(bold=True, reverse=True)
_BOLD = Style(bold=True)
_URGENT = ("NOT SEALED", "stopped", "abandoned", "not finished")


class SessionList(ScrollView, can_focus=False):
    """Sessions, two lines each; only the lines in sight are ever made."""

    DEFAULT_CSS: ClassVar[str] = """
    SessionList {
        height: 1fr;
        background: $background;
        scrollbar-size-vertical: 1;
    }
    """

    at: reactive[int] = reactive(0)
    """The session at the mark, counted from 0."""

    class Picked(Message):
        """A session was chosen."""

        def __init__(self, session_id: str) -> None:
            super().__init__()
            self.session_id = session_id

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._cards: Sequence[Card] = ()
        self._result: Callable[[Card], str] = lambda card: card.state

    @property
    def cards(self) -> Sequence[Card]:
        """The sessions that are listed."""
        return self._cards

    @property
    def marked(self) -> Card | None:
        """The session at the mark, if there is one."""
        return self._cards[self.at] if 0 <= self.at < len(self._cards) else None

    def show(self, cards: Sequence[Card], result: Callable[[Card], str]) -> None:
        """List these sessions; `result` says what one came to. The mark stays on its session."""
        kept = self.marked.session_id if self.marked and self.at else ""
        self._cards, self._result = cards, result
        self.virtual_size = Size(0, len(cards) * ROW)
        places = (i for i, card in enumerate(cards) if card.session_id == kept)
        self.at = next(places, 0) if kept else 0
        self.refresh()
        self._keep_in_sight()

    def move(self, by: int) -> None:
        """Put the mark some sessions on or back."""
        self.at = max(0, min(self.at + by, len(self._cards) - 1))

    @property
    def page(self) -> int:
        """How many sessions are in sight at once."""
        return max(1, self.size.height // ROW)

    def watch_at(self, before: int, now: int) -> None:
        """Draw the mark at its new place."""
        for place in (before, now):
            self.refresh_lines(place * ROW, ROW)
        self._keep_in_sight()

    def render_line(self, y: int) -> Strip:
        """Return one line of what is in sight."""
        place, line = divmod(y + self.scroll_offset.y, ROW)
        width = self.size.width
        if place >= len(self._cards):
            return Strip.blank(width, self.rich_style)
        text, style = self._line(self._cards[place], line)
        base = self.rich_style + (_MARK if place == self.at else style)
        return Strip([Segment(_fitted(text, width), base)], width)

    def text_of(self, place: int) -> tuple[str, str]:
        """Return both lines of a session as they are listed, before they meet the width."""
        card = self._cards[place]
        return self._line(card, 0)[0], self._line(card, 1)[0]

    def on_click(self, event: events.Click) -> None:
        """Choose the session that was clicked."""
        event.stop()
        place = (event.y + self.scroll_offset.y) // ROW
        if 0 <= place < len(self._cards):
            self.at = place
            self.post_message(self.Picked(self._cards[place].session_id))

    def _line(self, card: Card, line: int) -> tuple[str, Style]:
        if line == 0:
            return f" {card.begun:%Y-%m-%d %H:%M}  {shown(card.title)}", _BOLD
        result = shown(self._result(card))
        people = ", ".join(shown(name) for name in card.people)
        style = _BOLD if result.startswith(_URGENT) else Style()
        return f"     {result}" + (f"   {people}" if people else ""), style

    def _keep_in_sight(self) -> None:
        if self.size.height:
            region = Region(0, self.at * ROW, max(1, self.size.width), ROW)
            self.scroll_to_region(region, animate=False, force=True)


def _fitted(text: str, width: int) -> str:
    """Return the text in exactly `width` cells, with a sign where something is cut off."""
    if cell_len(text) <= width:
        return set_cell_size(text, width)
    return set_cell_size(text, max(0, width - 1)) + "…"

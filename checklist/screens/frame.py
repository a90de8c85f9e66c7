"""The frame around every screen: the line above, the banner, the keys, and the key for help."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, Static

from checklist.caution import BANNER, US_RULES
from checklist.plaintext import shown
from checklist.sessions.invented import SAID, is_invented

__all__ = ["BANNER", "US_RULES", "Framed", "HurtKey", "TitleLine"]


class TitleLine(Static):
    """One line: where one is on the left, how things stand on the right."""

    def __init__(self, left: str = "", right: str = "") -> None:
        super().__init__(markup=False)
        self._left, self._right = left, right
        self._looked: Path | None = None
        self._is_invented = False

    def say(self, left: str, right: str = "", *, urgent: bool = False) -> None:
        """Show two texts; `urgent` marks the line for the eye as well."""
        self._left, self._right = left, right
        self.set_class(urgent, "-urgent")
        self.refresh()

    def render(self) -> Content:
        """Return the line at the width there is, the right side kept whole."""
        width = self.content_size.width
        right = shown(self._right)
        room = max(width - len(right) - 2, 0)
        left = f"{SAID}  {shown(self._left)}" if self._stands_in_invented() else shown(self._left)
        left = left if len(left) <= room else f"{left[: max(room - 1, 0)]}…"
        return Content(left.ljust(max(width - len(right), 0)) + right)

    def _stands_in_invented(self) -> bool:
        """Say whether the logs in use are an invented club's; each folder is looked at once."""
        logs = getattr(getattr(self.app, "desk", None), "logs", None)
        if isinstance(logs, Path) and logs != self._looked:
            self._looked, self._is_invented = logs, is_invented(logs)
        return self._is_invented


class HurtKey(Static):
    """Always in sight, clickable, and works while typing: someone is hurt."""

    def __init__(self) -> None:
        super().__init__(Content(" ^Y SOMEONE IS HURT "), markup=False)

    async def on_click(self, event: events.Click) -> None:
        """Open the choice of what happened."""
        event.stop()
        await self.app.run_action("hurt")


class Framed(Screen[None]):
    """A screen with the title line above, and banner and keys below."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+y", "app.hurt", "someone is hurt", show=False, priority=True),
        Binding("escape", "back", "back"),
    ]

    def compose(self) -> ComposeResult:
        """Yield the frame with the screen's own body inside."""
        yield TitleLine()
        yield from self.body()
        yield Static(BANNER, id="banner", markup=False)
        with Horizontal(id="keys"):
            yield Footer(compact=True, show_command_palette=False)
            yield HurtKey()

    def body(self) -> ComposeResult:
        """Yield what is particular to this screen."""
        yield Static()

    @property
    def title_line(self) -> TitleLine:
        """The line above."""
        return self.query_one(TitleLine)

    def action_back(self) -> None:
        """Go back to where one came from."""
        self.app.pop_screen()

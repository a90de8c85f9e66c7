"""The list in which one thing is marked, as every screen of ours has it."""

from __future__ import annotations

from textual.widgets import OptionList


class MarkList(OptionList):
    """A list whose mark stays at its ends, so that a key pressed once too often leads nowhere."""

    def action_cursor_up(self) -> None:
        """Mark the line above; at the first, show what stands above it."""
        if self._can_mark(slice(0, self.highlighted)):
            super().action_cursor_up()
        else:
            self.scroll_home(animate=False)

    def action_cursor_down(self) -> None:
        """Mark the line below, where there is one."""
        at = self.highlighted
        if at is None or self._can_mark(slice(at + 1, None)):
            super().action_cursor_down()

    def _can_mark(self, part: slice) -> bool:
        """Whether a line of this part can be marked."""
        return any(not option.disabled for option in self.options[part])

"""The manual inside the program: a page to scroll, to search, and to follow links from."""

from __future__ import annotations

from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from checklist.helppages import FIRST_PAGE, LaidOut, laid_out
from checklist.screens.frame import Framed
from checklist.screens.helpplaces import Place
from checklist.screens.walking.field import Field


class HelpScreen(Framed):
    """One page of the manual; Escape goes back to the page before, then to where one was."""

    is_manual: ClassVar[bool] = True
    """The key for the manual is not offered here."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "find", "find", key_display="/"),
        Binding("n", "next", "next"),
        Binding("tab", "link(1)", "link", key_display="Tab", priority=True),
        Binding("shift+tab", "link(-1)", show=False, priority=True),
        Binding("enter", "follow", "follow", priority=True),
        Binding("c", "contents", "contents"),
        Binding("escape", "back", "back", priority=True),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    HelpScreen #page { height: 1fr; scrollbar-size-vertical: 0; }
    HelpScreen #page Static { height: auto; text-wrap: nowrap; }
    HelpScreen #find { display: none; margin: 0 1; }
    HelpScreen #find.-open { display: block; }
    """

    def __init__(self, place: Place = (FIRST_PAGE, "")) -> None:
        super().__init__()
        self._page, self._heading = place
        self._before: list[tuple[str, int]] = []
        self._link = -1
        self._words = ""
        self._hit = -1
        self._laid = LaidOut()

    @property
    def page(self) -> str:
        """The name of the page that is shown."""
        return self._page

    def body(self) -> ComposeResult:
        """Yield the page, and the field that `/` opens."""
        with VerticalScroll(id="page"):
            yield Static(id="text", markup=False)
        yield Field(example="find words on this page", id="find")

    def on_mount(self) -> None:
        """Show the page once the width is known, at its heading."""
        self._text.can_focus = True
        self._text.focus()
        self.watch(self._text, "scroll_y", lambda: self._tell(), init=False)
        self.call_after_refresh(self._open, self._page, self._heading)

    def on_resize(self, event: events.Resize) -> None:
        """Wrap the page anew at the width there is now."""
        if self._laid.lines:
            self._lay()

    @property
    def _text(self) -> VerticalScroll:
        return self.query_one("#page", VerticalScroll)

    @property
    def _field(self) -> Field:
        return self.query_one("#find", Field)

    def _open(self, page: str, heading: str = "", line: int = 0) -> None:
        self._page, self._link, self._hit = page, -1, -1
        self._lay()
        line = self._laid.headings.get(heading, line)
        self.call_after_refresh(self._go, line)

    def _lay(self) -> None:
        self._laid = laid_out(self._page, max(self._text.size.width, 20))
        self._link = min(self._link, len(self._laid.links) - 1)
        self._draw()

    def _draw(self) -> None:
        lines = [Content(line) for line in self._laid.lines]
        for at in self._laid.heads:
            lines[at] = lines[at].stylize("bold")
        for number, link in enumerate(self._laid.links):
            style = "bold reverse" if number == self._link else "underline"
            lines[link.line] = lines[link.line].stylize(style, link.start, link.end)
        if 0 <= self._hit < len(lines):
            lines[self._hit] = lines[self._hit].stylize("reverse")
        self.query_one("#text", Static).update(Content("\n").join(lines))
        self._tell()

    def _go(self, line: int) -> None:
        self._text.scroll_to(y=line, animate=False)
        self._tell()

    def _tell(self) -> None:
        top, of = round(self._text.scroll_y), len(self._laid.lines)
        last = min(top + self._text.size.height, of)
        self.title_line.say(f"Manual: {self._laid.title}", f"lines {top + 1} to {last} of {of}")

    def action_find(self) -> None:
        """Open the field for what is sought."""
        self._field.add_class("-open")
        self._field.focus()

    @on(Input.Submitted, "#find")
    def _sought(self, event: Input.Submitted) -> None:
        event.stop()
        self._seek()

    def _seek(self) -> None:
        self._words = self._field.value.strip().lower()
        self._close_field()
        self.action_next()

    def action_next(self) -> None:
        """Go to the next line with the words, and from the last to the first again."""
        lines = [line.lower() for line in self._laid.lines]
        found = [at for at, line in enumerate(lines) if self._words and self._words in line]
        if not found:
            says = f"“{self._words}” is not on this page." if self._words else "Nothing is sought."
            self.title_line.say(f"Manual: {self._laid.title}", says)
            return
        self._hit = next((at for at in found if at > self._hit), found[0])
        self._draw()
        self._go(max(self._hit - 2, 0))

    def action_link(self, by: int) -> None:
        """Put the mark on the next link, or the one before, and bring it into sight."""
        links = self._laid.links
        if not links:
            return
        if self._link < 0 and by > 0:
            top = round(self._text.scroll_y)
            self._link = next((i for i, one in enumerate(links) if one.line >= top), 0)
        else:
            self._link = (self._link + by) % len(links)
        self._draw()
        line, top = links[self._link].line, round(self._text.scroll_y)
        if not top <= line < top + self._text.size.height:
            self._go(max(line - 2, 0))

    def action_follow(self) -> None:
        """Open the page of the marked link; in the field, seek what is typed."""
        if self._field.has_focus:
            self._seek()
        elif self._link >= 0:
            link = self._laid.links[self._link]
            self._before.append((self._page, round(self._text.scroll_y)))
            self._open(link.page, link.heading)
        else:
            self.title_line.say(f"Manual: {self._laid.title}", "Tab marks a link first.")

    def action_contents(self) -> None:
        """Open the list of all pages."""
        if self._page != FIRST_PAGE:
            self._before.append((self._page, round(self._text.scroll_y)))
            self._open(FIRST_PAGE)

    def _close_field(self) -> None:
        self._field.remove_class("-open")
        self._text.focus()

    def action_back(self) -> None:
        """Close the field, or go to the page before, or back to where F1 was pressed."""
        if self._field.has_focus:
            self._close_field()
        elif self._before:
            page, line = self._before.pop()
            self._open(page, line=line)
        else:
            self.app.pop_screen()

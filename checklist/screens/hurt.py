"""Someone is hurt: one choice, then one short screen. Works with nothing configured."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from checklist.emergencies import FIRST, call, emergencies, numbered, where_text
from checklist.plaintext import shown
from checklist.screens.frame import BANNER, TitleLine
from checklist.screens.walking.entries import Chosen, Keys


class HurtScreen(Screen[None]):
    """The choice, then what to do."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "back")]

    def compose(self) -> ComposeResult:
        """Yield the choice."""
        yield TitleLine()
        with VerticalScroll(id="hurt"):
            yield Static(f"{FIRST}\n", markup=False, classes="title")
            yield Static(Content(f"{call()}\n{self._where()}\n"), id="what", markup=False)
            yield Keys([(e.key, e.name, e.what) for e in emergencies()])
        yield Static(BANNER, id="banner", markup=False)
        yield Static(" Esc back", markup=False)

    def on_mount(self) -> None:
        """Put the focus on the choice."""
        self.title_line.say("SOMEONE IS HURT", "what happened?", urgent=True)
        self.query_one(Keys).focus()

    @property
    def title_line(self) -> TitleLine:
        """The line above."""
        return self.query_one(TitleLine)

    def _where(self) -> str:
        return where_text(shown(getattr(self.app, "call_details", "")))

    @on(Chosen)
    async def _chosen(self, event: Chosen) -> None:
        emergency = next(e for e in emergencies() if e.name == event.typed)
        short = emergency.what.partition(",")[0].partition(":")[0]
        self.title_line.say("SOMEONE IS HURT", short, urgent=True)
        rests_on = f"Rests on: {emergency.rests_on}."
        self.query_one("#what", Static).update(
            Content("\n".join([*numbered(emergency), "", self._where(), rests_on]))
        )
        await self.query_one(Keys).remove()
        await self.query_one("#hurt .title").remove()
        self.query_one("#hurt").focus()

    async def action_back(self) -> None:
        """Go back to the choice, or from there to where one was."""
        if self.query(Keys):
            self.app.pop_screen()
        else:
            await self.recompose()
            self.on_mount()

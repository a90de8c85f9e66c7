"""Wires the program: screens, the keys that work everywhere, and the desk behind them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.command import CommandPalette
from textual.screen import Screen

from checklist.screens.doors import Doors
from checklist.screens.home import HomeScreen
from checklist.screens.themes import LOOKS, first_look, other_look
from checklist.screens.turns import TIDY_EVERY_S, keys_first, tidy
from checklist.sessions.desk import Desk

if TYPE_CHECKING:
    from pathlib import Path


class StandclearApp(Doors):
    """The terminal program; `begin` names a rule file to walk or a station file to edit at once."""

    TITLE = "standclear"
    CSS_PATH = "standclear.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012 - Textual declares it so
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", "quit", priority=True, show=False),
        Binding("f1", "manual", "help", key_display="F1", priority=True),
        Binding("ctrl+l", "light", "light or dark", priority=True, show=False),
        Binding("ctrl+y", "hurt", "someone is hurt", priority=True, show=False),
        Binding("escape", "stop_long_work", "stop", priority=True, show=False),
    ]

    def __init__(self, desk: Desk, *, begin: str | Path = "", rehearse: bool = False) -> None:
        super().__init__(desk)
        self._begin, self._rehearse = begin, rehearse
        self._give_back: Callable[[], None] | None = None
        for look in LOOKS:
            self.register_theme(look)
        self.theme = first_look(self.console.color_system)

    def get_default_screen(self) -> Screen[None]:
        """Return home."""
        return HomeScreen()

    def on_unmount(self) -> None:
        """Give back how threads take turns and when garbage is looked for."""
        if self._give_back is not None:
            self._give_back()

    def on_mount(self) -> None:
        """Let keys go before computing, and begin the walk that the command line named."""
        self._give_back = keys_first()
        self.set_interval(TIDY_EVERY_S, tidy)
        if self._begin and not isinstance(self._begin, str):
            self.show_station(self._begin)
        elif self._begin:
            self.walk(self._begin, rehearse=self._rehearse)

    @property
    def fault(self) -> Exception | None:
        """What ended the program against its will; None while it runs and after an orderly end."""
        return self._exception

    def _fatal_error(self) -> None:
        """Leave without a traceback on the terminal: its locals may hold a passphrase."""
        self._close_messages_no_wait()

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Return what the palette of commands (^P) lists."""
        from checklist.screens.palette import commands_for

        return commands_for(self, screen)

    def action_light(self) -> None:
        """Change between dark and light; light reads better in the sun."""
        self.theme = other_look(self.theme)

    def action_stop_long_work(self) -> None:
        """Stop what a screen waits for; what came of it is said once its thread has ended."""
        for one in self.long_work:
            one.stop()
        self.say("Stopping. Nothing unfinished is kept.")

    def action_command_palette(self) -> None:
        """Open the palette of commands: what can be done here, and every place, by words."""
        if not isinstance(self.screen, CommandPalette):
            from checklist.screens.palette import Palette

            asks = "what to do, or where to go"
            self.push_screen(Palette(id="--command-palette", placeholder=asks))

    async def action_quit(self) -> None:
        """Leave the program, unless an answer is not saved yet: then once more with a yes."""
        if self.screen_stack and any(_is_unsaved(screen) for screen in self.screen_stack):
            self._quit_anyway()
        else:
            self.exit()

    @work(exclusive=True, group="quitting")
    async def _quit_anyway(self) -> None:
        from checklist.screens.asking import AskYes

        says = ["Quitting now loses that answer. Go back, and ^R tries to save it again."]
        if await self.push_screen_wait(AskYes("An answer is NOT SAVED. Quit all the same?", says)):
            self.exit()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer the manual everywhere but in the manual, and Escape where it stops long work."""
        if action == "stop_long_work":
            return any(not one.is_stopping for one in self.long_work)
        if action == "manual" and self.is_running and self.screen_stack:
            return not getattr(self.screen, "is_manual", False)
        return super().check_action(action, parameters)

    def action_manual(self) -> None:
        """Open the manual at the page that belongs to the screen or step at hand."""
        from checklist.screens.help import HelpScreen
        from checklist.screens.helpplaces import place_of

        if not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen(place_of(self.screen_stack)))

    def action_hurt(self) -> None:
        """Open the choice of what happened to someone; one key, from everywhere."""
        from checklist.screens.hurt import HurtScreen

        if not isinstance(self.screen, HurtScreen):
            self.push_screen(HurtScreen())


def _is_unsaved(screen: Screen[object]) -> bool:
    session = getattr(screen, "session", None)
    return getattr(session, "unsaved", None) is not None

"""What the palette of commands lists: the keys of the screen at hand, and every place to go to."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from textual.app import SystemCommand
from textual.command import CommandPalette
from textual.screen import Screen
from textual.widgets import Input

from checklist.plaintext import shown
from checklist.screens.asking import Asking
from checklist.screens.home import HomeScreen

if TYPE_CHECKING:
    from checklist.screens.app import StandclearApp

PLACES = (
    ("manual", "the page that belongs here (F1)", "action_manual"),
    ("past sessions", "find and read what was walked", "review"),
    ("locks and tags", "what hangs, hang and take off", "show_tags"),
    ("people and keys", "who is who, the officer, receipts", "show_people"),
    ("audit", "what holds and what does not", "audit"),
    ("numbers", "every value with its citation", "show_numbers"),
    ("station file", "look at what is described, and change it", "show_station"),
    ("RF exposure", "evaluate a station file", "show_exposure"),
    ("card for the wall", "someone is hurt, written as a page to print", "print_card"),
    ("in class", "a calculation step by step, nothing kept", "show_class"),
)
"""Every screen that stands by itself: its name, what it is for, and the app's way to it."""

_NOT_LISTED = {
    "command_palette", "help_quit", "hurt", "light", "manual", "quit", "nothing", "select",
    "focus_next", "focus_previous", "copy_text", "dismiss_unanswered",
}  # fmt: skip
"""Actions that are listed otherwise, that do nothing, or that nobody seeks by words."""


_LONGEST = 60
"""Characters that are matched: a book pasted by mistake would hold up every key after it."""

_NO_MARKUP = str.maketrans("[]", "()")
"""Textual reads a command's name as markup, and ends at `[/x]`; escaping does not suffice."""


class Palette(CommandPalette):
    """Textual's palette, its field no longer than any words that are sought."""

    def on_mount(self) -> None:
        """Bound the field."""
        self.query_one(Input).max_length = _LONGEST


def commands_for(app: StandclearApp, screen: Screen[object]) -> Iterator[SystemCommand]:
    """Yield help first, then what this screen's keys do, then the places, then the walks.

    Over a question only its own keys are listed: an answer is wanted, and Escape gives none.
    """
    yield SystemCommand("someone is hurt", "what to do first (^Y)", app.action_hurt)
    yield from _keys(app, screen)
    yield SystemCommand("light or dark", "change the look (^L)", app.action_light)
    yield SystemCommand("quit", "leave the program; what was answered stays (^Q)", app.action_quit)
    if any(isinstance(one, Asking) for one in app.screen_stack):
        return
    yield SystemCommand("home", "leave everything that is open", app.action_home)
    for name, what, way in PLACES:
        yield SystemCommand(name, what, getattr(app, way))
    home = app.screen_stack[0]
    if screen is home and isinstance(home, HomeScreen):
        for entry in home.listed:
            title = shown(entry.title).translate(_NO_MARKUP)
            yield SystemCommand(f"walk: {title}", "on record", partial(app.walk, entry.name))
            rehearse = partial(app.walk, entry.name, rehearse=True)
            yield SystemCommand(f"rehearse: {title}", "nothing is kept", rehearse)


def _keys(app: StandclearApp, screen: Screen[object]) -> Iterator[SystemCommand]:
    """Yield what every key with a meaning of ours does on this screen."""
    for node, binding, is_enabled, _ in screen.active_bindings.values():
        if isinstance(node, HomeScreen) and not binding.show:  # it leads to one of the places below
            continue
        is_ours = isinstance(node, Screen) or binding.show
        name = binding.action.rpartition(".")[2].partition("(")[0]
        if is_enabled and is_ours and binding.description and name not in _NOT_LISTED:
            does = partial(app.run_action, binding.action, default_namespace=node)
            yield SystemCommand(
                binding.description, f"key {app.get_key_display(binding)} on this screen", does
            )

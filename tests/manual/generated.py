"""Makes the two pages that are lists of what the program has: its keys, and its commands."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator

import click
from textual.binding import Binding, BindingType
from textual.keys import format_key

import checklist.screens
from checklist.caution import BANNER
from checklist.commands.exits import MEANINGS
from checklist.commands.typed.program import standclear
from checklist.screens.app import StandclearApp
from checklist.screens.frame import Framed

_HEAD = f"\n\n**{BANNER}**\n\n"

HEADINGS = {
    "HomeScreen": "Home",
    "WalkScreen": "A walk",
    "SignScreen": "Look it over, and sign",
    "PictureScreen": "Picture of a calculation",
    "ReviewScreen": "Past sessions",
    "SessionScreen": "A past session",
    "CorrectScreen": "Correct an answer",
    "AuditScreen": "Audit",
    "AuditedSessionScreen": "A session of an audit",
    "TagsScreen": "Locks and tags",
    "PeopleScreen": "People and keys",
    "ExposureScreen": "RF exposure",
    "Trying": "RF exposure: changes tried",
    "StationScreen": "Station",
    "NumbersScreen": "Numbers",
    "NumberScreen": "One number",
    "ClassScreen": "In class",
    "LessonScreen": "In class: one calculation",
    "HelpScreen": "Manual",
}
"""What a person calls the screens, in the order of the page on keys."""

_SHOWN = {"Pgup": "PgUp", "Pgdn": "PgDn"}


def keys_page() -> str:
    """Return the page on the keys, from the bindings of every screen."""
    for module in pkgutil.walk_packages(checklist.screens.__path__, "checklist.screens."):
        importlib.import_module(module.name)
    lines = ["# Keys", _HEAD.strip("\n").join(["\n", ""]), ""]
    lines += ["Written by the program; a test keeps it so.", "", "## Everywhere", ""]
    lines += [*_keys(StandclearApp.BINDINGS), "- `Ctrl+P`: every screen and command by words", ""]
    told = {
        kind.__name__: keys
        for kind in _kinds(Framed)
        if kind.__module__.startswith("checklist.")
        and (keys := list(_keys(kind.__dict__.get("BINDINGS", ()))))
    }
    if unnamed := told.keys() - HEADINGS.keys():
        raise ValueError(f"give a heading to the keys of: {', '.join(sorted(unnamed))}")
    for name, words in HEADINGS.items():
        lines += [f"## {words}", "", *dict.fromkeys(told.get(name, ())), ""]
    return "\n".join(lines)


def _kinds(kind: type) -> Iterator[type]:
    subclasses: list[type] = kind.__subclasses__()
    for one in subclasses:
        yield one
        yield from _kinds(one)


def _keys(bindings: list[BindingType]) -> Iterator[str]:
    one: BindingType
    for one in bindings:
        if isinstance(one, Binding) and one.description and one.description != "nothing":
            names = [_named(key) for key in one.key.split(",")]
            yield f"- `{one.key_display or ' or '.join(names)}`: {one.description}"


def _named(key: str) -> str:
    if key.startswith("ctrl+"):
        return f"Ctrl+{key.removeprefix('ctrl+').upper()}"
    shown = format_key(key)
    name = shown if len(shown) == 1 else shown.capitalize()
    return _SHOWN.get(name, name)


def shell_page() -> str:
    """Return the page on the shell, from the commands themselves."""
    lines = ["# From the shell", _HEAD.strip("\n").join(["\n", ""]), ""]
    lines += [
        "Written by the program; a test keeps it so. `--help` has more. `--plain`",
        "anywhere on the line gives text that a screen reader reads well; `--json` gives data.",
        "",
    ]
    for name, command in sorted(standclear.commands.items()):
        lines += [f"## {name}", "", command.get_short_help_str(200), ""]
        lines += [f"    standclear {name}{_rest(command)}", ""]
        if isinstance(command, click.Group):
            for inner, one in sorted(command.commands.items()):
                lines += [f"- `standclear {name} {inner}`: {one.get_short_help_str(200)}"]
            lines += [""]
    lines += ["## Exit codes", ""]
    lines += [f"- {number}: {meaning}" for number, meaning in MEANINGS.items()]
    return "\n".join(lines) + "\n"


def _rest(command: click.Command) -> str:
    named = [p for p in command.params if isinstance(p, click.Argument)]
    return "".join(f" {(p.metavar or (p.name or '').upper()).strip('[]')}" for p in named)


GENERATED = {"keys": keys_page, "shell": shell_page}
"""The pages made here, by name."""

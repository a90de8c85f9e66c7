"""What every command is handed, and the options that most of them have."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import click

from checklist.commands.output import mark_output
from checklist.commands.places import LOGS_OPTION, LOGS_VARIABLE, logs_named
from checklist.sessions.desk import Desk

OpenScreens = Callable[[Desk, str | Path, bool], int]
"""Opens the screens: at a desk; at a rule file by name, a station file by path, or at home (an
empty name); as a rehearsal or not."""


@dataclass(slots=True)
class Start:
    """What the words before the command said, and how screens are opened."""

    open_screens: OpenScreens
    logs: str | None = None

    def desk(self, logs: str | None) -> Desk:
        """Return the desk at the log folder of the command, or of the words before it."""
        desk = Desk.at(logs_named(self.logs if logs is None else logs))
        mark_output(desk.logs)
        return desk


logs_option = click.option(
    LOGS_OPTION,
    "logs",
    metavar="FOLDER",
    help=f"The log folder; otherwise {LOGS_VARIABLE}, or the one made on first start.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
start_passed = click.pass_obj
"""Hands the command its Start."""

"""Where the program starts: the screens at once, or a command from the shell."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from checklist.commands.exits import FINE
from checklist.commands.guard import guarded
from checklist.commands.output import settle_encoding
from checklist.commands.places import LOGS_OPTION, logs_in, logs_named
from checklist.commands.wishes import is_for_line
from checklist.sessions.desk import Desk


def main(arguments: Sequence[str] | None = None) -> int:
    """Return the number to end with after doing what the arguments say; never raises."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    settle_encoding()
    return guarded(lambda: _run(given), lambda: _quarantine(given))


def open_screens(desk: Desk, name: str | Path, is_rehearsal: bool) -> int:
    """Open the screens at home, at the walk of the rule file `name`, or at a station file's path.

    Raises TerminalRefused where this terminal cannot carry them, and what ended them
    against their will.
    """
    from checklist.commands.terminal import Terminal

    Terminal.here().refuse_unfit()
    from checklist.screens.app import StandclearApp

    app = StandclearApp(desk, begin=name, rehearse=is_rehearsal)
    app.run()
    if app.fault is not None:
        raise app.fault
    return FINE


def _run(arguments: list[str]) -> int:
    if _opens_home(arguments) and not is_for_line(os.environ):
        return open_screens(Desk.at(logs_named(logs_in(arguments))), "", False)
    from checklist.commands.typed.program import run_line  # late: home opens faster without click

    return run_line(arguments, open_screens)


def _opens_home(arguments: list[str]) -> bool:
    match arguments:
        case []:
            return True
        case [one]:
            return one.startswith(f"{LOGS_OPTION}=")
        case [option, folder]:
            return option == LOGS_OPTION and not folder.startswith("-")
        case _:
            return False


def _quarantine(arguments: list[str]) -> Path:
    return Desk.at(logs_named(logs_in(arguments))).folder.quarantine


if __name__ == "__main__":
    sys.exit(main())

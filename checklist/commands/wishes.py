"""What the environment wishes of the program before any command is looked at."""

from __future__ import annotations

from collections.abc import Mapping

PLAIN_OPTION = "--plain"
PLAIN_VARIABLE = "STANDCLEAR_PLAIN"
"""Set to anything but an empty text or 0, it is as if the option stood on the line."""

COMPLETE_VARIABLE = "_STANDCLEAR_COMPLETE"
"""By it a shell asks for completions; the name that click makes of the program's."""


def wishes_plain(environment: Mapping[str, str]) -> bool:
    """Say whether everything is wanted as text without a screen."""
    return environment.get(PLAIN_VARIABLE, "") not in {"", "0"}


def is_for_line(environment: Mapping[str, str]) -> bool:
    """Say whether even a call without a word is for the command line, and not for the screens."""
    return wishes_plain(environment) or bool(environment.get(COMPLETE_VARIABLE))

"""Whether a terminal can carry the screens, and what to use where it cannot."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass

from checklist.errors import StandclearError

LEAST_COLUMNS = 80
LEAST_LINES = 24
"""The smallest terminal that the screens are laid out for."""

_DUMB = {"", "dumb", "unknown"}

_COMMANDS = (
    "Walk line by line with standclear walk NAME --plain; standclear --plain says what is open. "
    "The other commands (review, show, verify, check-rules, calculate, rules ...) print lines, "
    "and standclear --help explains them."
)


class TerminalRefused(StandclearError):
    """The screens cannot be shown here."""


@dataclass(frozen=True, slots=True)
class Terminal:
    """What is known about the terminal that the program was started in."""

    is_interactive: bool
    """Whether keys, output and errors all belong to a terminal."""

    kind: str
    """The TERM that it goes by; `none needed` where the system has no such thing."""

    columns: int
    """0 where the terminal does not say."""

    lines: int

    @classmethod
    def here(cls, environment: Mapping[str, str] = os.environ) -> Terminal:
        """Return what this process was started in."""
        kind = "none needed" if os.name == "nt" else environment.get("TERM", "")
        try:
            # Textual reads keys from stdin and draws on stderr; stdout belongs to a person too.
            is_interactive = all(s.isatty() for s in (sys.stdin, sys.stdout, sys.stderr))
            size = os.get_terminal_size(sys.stderr.fileno())
        except (OSError, ValueError, AttributeError):  # no file behind it, or closed, or None
            return cls(is_interactive=False, kind=kind, columns=0, lines=0)
        return cls(is_interactive, kind, size.columns, size.lines)

    def refuse_unfit(self) -> None:
        """Raise TerminalRefused where the screens cannot be used, naming the shell commands."""
        if not self.is_interactive:
            raise TerminalRefused("the screens need a terminal, and this is none", right=_COMMANDS)
        if self.kind in _DUMB:
            raise TerminalRefused(
                f"the screens cannot be drawn on this terminal (TERM is “{self.kind}”)",
                right=_COMMANDS,
            )
        if 0 < self.columns < LEAST_COLUMNS or 0 < self.lines < LEAST_LINES:
            raise TerminalRefused(
                f"the terminal has {self.columns} columns and {self.lines} lines",
                right=f"The screens need {LEAST_COLUMNS} and {LEAST_LINES}: enlarge it, or take a "
                f"smaller letter. {_COMMANDS}",
            )

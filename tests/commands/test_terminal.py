"""Where the screens cannot be shown, the shell commands are named instead."""

from __future__ import annotations

import pytest

from checklist.commands.terminal import Terminal, TerminalRefused

GOOD = Terminal(is_interactive=True, kind="xterm-256color", columns=80, lines=24)


@pytest.mark.parametrize(
    "terminal",
    [
        GOOD,
        Terminal(is_interactive=True, kind="linux", columns=300, lines=100),
        Terminal(is_interactive=True, kind="vt220", columns=0, lines=0),
    ],
    ids=["80x24", "large", "a serial line that does not tell its size"],
)
def test_fit_terminals(terminal: Terminal) -> None:
    """80 columns and 24 lines suffice, and a terminal that does not tell its size is let in."""
    terminal.refuse_unfit()

    assert terminal.is_interactive


@pytest.mark.parametrize(
    ("terminal", "said"),
    [
        (Terminal(is_interactive=False, kind="xterm", columns=80, lines=24), "need a terminal"),
        (Terminal(is_interactive=True, kind="dumb", columns=80, lines=24), "TERM is “dumb”"),
        (Terminal(is_interactive=True, kind="", columns=80, lines=24), "TERM is “”"),
        (Terminal(is_interactive=True, kind="xterm", columns=79, lines=24), "79 columns"),
        (Terminal(is_interactive=True, kind="xterm", columns=80, lines=23), "23 lines"),
    ],
)
def test_unfit_terminals(terminal: Terminal, said: str) -> None:
    """What is wrong with the terminal is said, and each shell command is named."""
    with pytest.raises(TerminalRefused, match=said) as refused:
        terminal.refuse_unfit()

    assert all(
        command in refused.value.sentence()
        for command in ("review", "show", "verify", "check-rules", "calculate", "rules")
    )

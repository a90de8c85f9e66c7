"""Asks one line at a time, for whoever uses no screen: a screen reader, a serial line, a script."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable

from checklist.commands.output import print_lines
from checklist.emergencies import FIRST, call, emergencies, numbered, where_text

HURT = "hurt"
"""The word that brings help at every question."""

_LONGEST = 4096


class Left(Exception):
    """Nothing more can be read, or somebody leaves; what was saved stays."""


def say(*lines: str) -> None:
    """Print whole lines."""
    print_lines(lines)


def hear(prompt: str, told: Callable[[], str] = str) -> str:
    """Return the line that is typed after the prompt; `told` is what the walk says of the place.

    Raises Left at the end of the input. `hurt` is answered at once, and the prompt comes again.
    """
    while True:
        print_lines([prompt])
        line = sys.stdin.readline(_LONGEST) if sys.stdin is not None else ""
        if not line:
            raise Left
        typed = line.strip()
        if typed.casefold() != HURT:
            return typed
        help_the_hurt(told())


def help_the_hurt(told: str) -> None:
    """Ask what happened and print what to do first."""
    choices = [f"Type {e.key} for: {e.what}." for e in emergencies()]
    say(f"SOMEONE IS HURT. {FIRST}", call(), where_text(told), *choices)
    line = (sys.stdin.readline(_LONGEST) if sys.stdin is not None else "").strip()
    print_lines(emergency_lines(line, told))


def emergency_lines(named: str, told: str = "") -> list[str]:
    """Return what to do in the emergency of that key or name; in all of them where it is none."""
    meant = [e for e in emergencies() if named.casefold() in {e.key, e.name}] or emergencies()
    lines = []
    for emergency in meant:
        lines += [f"{emergency.what}.", *numbered(emergency), where_text(told)]
        lines.append(f"This rests on: {emergency.rests_on}.")
    return lines


def choose(prompt: str, choices: Iterable[tuple[str, str, str]]) -> str:
    """Ask until one of (key, what is given back, label) is chosen, by key or by its word."""
    known = list(choices)
    say(*(f"Type {key} for: {label}." for key, _, label in known))
    while True:
        typed = hear(prompt).casefold()
        for key, given, label in known:
            if typed in {key, given.casefold(), label.casefold()}:
                return given
        say(f"“{typed}” is none of these. Type one of {', '.join(key for key, *_ in known)}.")

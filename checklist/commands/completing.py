"""Completion in the shell: the script for each, and what can be completed."""

from __future__ import annotations

import click
from click.shell_completion import CompletionItem, get_completion_class

from checklist.commands.wishes import COMPLETE_VARIABLE
from checklist.errors import StandclearError

PROGRAM = "standclear"


def script(command: click.Command, shell: str) -> str:
    """Return the text that a shell must read to complete commands; StandclearError for another."""
    kind = get_completion_class(shell)
    if kind is None:
        raise StandclearError(f"there is no completion for “{shell}”")
    return f"{kind(command, {}, PROGRAM, COMPLETE_VARIABLE).source()}\n"


def rule_file_names(
    context: click.Context, parameter: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """Return the rule files whose names go on from what was typed, each with its title."""
    try:
        listed, _ = context.find_root().obj.desk(None).library.listed()
    except (StandclearError, AttributeError):
        return []
    return [
        CompletionItem(entry.name, help=entry.title)
        for entry in listed
        if entry.name.startswith(incomplete)
    ]

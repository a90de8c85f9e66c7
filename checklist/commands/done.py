"""What a command says once it has done something: lines for people, or the same as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextvars import ContextVar
from typing import Any

import click

from checklist.commands.output import print_document, print_page

_json: ContextVar[bool] = ContextVar("json", default=False)


def _heard(_context: click.Context, _parameter: click.Parameter, wished: bool) -> None:
    _json.set(wished)


json_wish = click.option(
    "--json",
    is_flag=True,
    expose_value=False,
    callback=_heard,
    help="Print one JSON document.",
)
"""The option of a command that says what it did by `say_done`."""


def is_json() -> bool:
    """Say whether the command at hand was asked for JSON."""
    return _json.get()


def say_done(lines: Iterable[str], data: Mapping[str, Any]) -> None:
    """Print the lines, or `data` with the lines as `said` in one JSON document."""
    if is_json():
        print_document({**data, "said": [line.strip() for line in lines]})
    else:
        print_page(lines)

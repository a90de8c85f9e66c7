"""The words `standclear known ...` on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from checklist.commands.done import json_wish
from checklist.commands.exits import FINE
from checklist.commands.places import LOGS_OPTION

if TYPE_CHECKING:
    from checklist.commands.typed.start import Start

_logs = click.option(LOGS_OPTION, "logs", metavar="FOLDER", help="The log folder.")
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")


@click.group(invoke_without_command=True, short_help="What is offered while typing; kit, forget.")
@_logs
@_json
@click.pass_context
def known(context: click.Context, logs: str | None, as_json: bool) -> int:
    """List the people, instruments, kit and isolation points that are offered while typing.

    They save typing and prove nothing. Past sessions keep their own words.
    """
    if context.invoked_subcommand is not None:
        return FINE
    from checklist.commands.known import list_known

    start: Start = context.obj
    return list_known(start.desk(logs), as_json=as_json)


@known.command("kit")
@click.argument("name")
@click.option("--kind", default="", help="What it is, such as: harness.")
@click.option("--until", default="", metavar="DATE", help="Last day its maker allows use.")
@_logs
@json_wish
@click.pass_obj
def kit(start: Start, name: str, kind: str, until: str, logs: str | None) -> int:
    """Keep the piece of kit marked NAME, or add to what is known of it."""
    from checklist.commands.known import keep_kit

    return keep_kit(start.desk(logs), name, kind, until)


@known.command("forget")
@click.argument("what", type=click.Choice(("person", "instrument", "kit", "point")))
@click.argument("name")
@_logs
@json_wish
@click.pass_obj
def forget(start: Start, what: str, name: str, logs: str | None) -> int:
    """Take NAME off the list, so that it is not offered any more; no session changes."""
    from checklist.commands.known import forget_known

    return forget_known(start.desk(logs), what, name)

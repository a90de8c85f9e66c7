"""The words `standclear tags ...` on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import click

from checklist.commands.done import json_wish
from checklist.commands.exits import FINE
from checklist.commands.places import LOGS_OPTION, path_named

if TYPE_CHECKING:
    from checklist.commands.typed.start import Start

_logs = click.option(LOGS_OPTION, "logs", metavar="FOLDER", help="The log folder.")
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
_until = click.option("--until", required=True, help="Expected end: 18:00, 2026-11-25 18:00, 8 h.")
_reach = click.option("--reach", default="", help="How to reach that person; else as known.")
_left = click.option(
    "--locks-left", required=True, metavar="N", help="Other locks that still hang, counted there."
)


@click.group(invoke_without_command=True, short_help="What locks and tags hang; hang and take off.")
@click.option("--point", default="", help="Only at this isolation point.")
@_logs
@_json
@click.pass_context
def tags(context: click.Context, point: str, logs: str | None, as_json: bool) -> int:
    """List the locks and tags that hang by the logs that are here.

    The lock at the point decides, not this list. Exit code 3 where part of the record could
    not be read. A TAG below is the beginning of its id, or the number of its lock.
    """
    if context.invoked_subcommand is not None:
        return FINE
    from checklist.commands.tags import list_tags

    start: Start = context.obj
    return list_tags(start.desk(logs), point, as_json=as_json)


@tags.command("hang")
@click.option("--point", required=True, help="The id marked at the isolation point.")
@click.option("--lock", required=True, help="The number on the lock.")
@click.option("--person", required=True, help="Who hangs it.")
@click.option("--why", required=True, help="What the work is.")
@_until
@_reach
@click.option("--locks", default="", metavar="N", help="Locks at the point, this one included.")
@_logs
@_json
@click.pass_obj
def hang(
    start: Start,
    point: str,
    lock: str,
    person: str,
    why: str,
    until: str,
    reach: str,
    locks: str,
    logs: str | None,
    as_json: bool,
) -> int:
    """Enter that a lock and tag hang. Hang the lock first, and see that it holds."""
    from checklist.commands.tags import hang_tag
    from checklist.sessions.tagging.hanging import Hanging

    wanted = Hanging(point, lock, person, why, until, reach, locks)
    return hang_tag(start.desk(logs), wanted, as_json=as_json)


@tags.command("take-off")
@click.argument("tag")
@_left
@_logs
@_json
@click.pass_obj
def take_off(start: Start, tag: str, locks_left: str, logs: str | None, as_json: bool) -> int:
    """Take TAG off, signed by the person who hung it, after counting the locks there."""
    from checklist.commands.tags import take_off_tag

    return take_off_tag(start.desk(logs), tag, locks_left, as_json=as_json)


@tags.command("remove")
@click.argument("tag")
@click.option("--by", required=True, metavar="NAME", help="Who takes it off.")
@click.option("--second", required=True, metavar="NAME", help="Who signs as the second.")
@click.option(
    "--as",
    "role",
    type=click.Choice(["in charge", "safety officer"]),
    default="in charge",
    help="The second's role.",
)
@click.option("--absent", required=True, help="How it was verified that the applier is not here.")
@click.option("--contact", required=True, help="How contact was attempted.")
@click.option("--told", required=True, help="How the applier is told before work resumes.")
@_left
@_logs
@_json
@click.pass_obj
def remove(
    start: Start,
    tag: str,
    by: str,
    second: str,
    role: str,
    absent: str,
    contact: str,
    told: str,
    locks_left: str,
    logs: str | None,
    as_json: bool,
) -> int:
    """Take off the lock of somebody who is not here (29 CFR 1910.147(e)(3)).

    All three facts and two signatures are needed.
    """
    from checklist.commands.tags import remove_tag

    facts = {"absent": absent, "contact": contact, "told": told}
    people = {"worker": by, role: second}
    return remove_tag(start.desk(logs), tag, people, facts, locks_left, as_json=as_json)


@tags.command("relieve")
@click.argument("tag")
@click.option("--person", required=True, help="Who comes on.")
@click.option("--lock", required=True, help="The number on that person's lock.")
@click.option("--locks", required=True, metavar="N", help="Locks there once the old one is off.")
@_until
@_reach
@_logs
@_json
@click.pass_obj
def relieve(
    start: Start,
    tag: str,
    person: str,
    lock: str,
    locks: str,
    until: str,
    reach: str,
    logs: str | None,
    as_json: bool,
) -> int:
    """Change the shift at TAG without a gap: the new lock is entered first, then TAG is off.

    Signed by the person who goes off. Both locks must hang before the old one comes off.
    """
    from checklist.commands.tags import relieve_tag
    from checklist.sessions.tagging.hanging import Hanging

    wanted = Hanging("", lock, person, "", until, reach)
    return relieve_tag(start.desk(logs), tag, wanted, locks, as_json=as_json)


@tags.command("import")
@click.argument("folder")
@_logs
@_json
@click.pass_obj
def import_(start: Start, folder: str, logs: str | None, as_json: bool) -> int:
    """Read what another laptop's log FOLDER tells of tags; its own, or a copy made just now."""
    from checklist.commands.tags import read_other_log

    return read_other_log(start.desk(logs), path_named(folder, "FOLDER"), as_json=as_json)


@tags.command("print")
@click.argument("tag")
@click.option("--svg", default="", metavar="FILE", help="Write a picture into this new file.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter")
@_logs
@json_wish
@click.pass_obj
def print_(
    start: Start, tag: str, svg: str, paper: Literal["letter", "a4"], logs: str | None
) -> int:
    """Print the page of TAG for the point, to be read at two metres; as text, or as SVG."""
    from checklist.commands.tags import print_tag

    path = path_named(svg, "--svg") if svg else None
    return print_tag(start.desk(logs), tag, path, paper)

"""The words `standclear people ...` and `standclear receipt ...` on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from checklist.commands.done import json_wish
from checklist.commands.exits import FINE
from checklist.commands.places import LOGS_OPTION, path_named

if TYPE_CHECKING:
    from checklist.commands.typed.start import Start

_logs = click.option(LOGS_OPTION, "logs", metavar="FOLDER", help="The log folder.")
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
_out = click.option("--out", required=True, metavar="FILE", help="The new file to write.")
_roles = click.option("--role", "roles", multiple=True, help="A role to sign in; may be repeated.")
_call = click.option("--call-sign", default="", help="The call sign.")
_trained = click.option("--trained", default="", metavar="DATE", help="Day of the last training.")


@click.group(invoke_without_command=True, short_help="Who is who: keys, roles, the officer.")
@_logs
@_json
@click.pass_context
def people(context: click.Context, logs: str | None, as_json: bool) -> int:
    """List the people of the roster in force here, with their keys.

    Exit code 3 where no safety officer's key is pinned: then nobody vouches for anyone.
    """
    if context.invoked_subcommand is not None:
        return FINE
    from checklist.commands.people import list_people

    start: Start = context.obj
    return list_people(start.desk(logs), as_json=as_json)


@people.command("request")
@click.argument("name")
@_roles
@_call
@click.option("--new-key", is_flag=True, help="Make a new key; the old one signs for it if here.")
@click.option("--old-lost", is_flag=True, help="With --new-key: the old key is lost.")
@_out
@_logs
@json_wish
@click.pass_obj
def request(
    start: Start,
    name: str,
    roles: tuple[str, ...],
    call_sign: str,
    new_key: bool,
    old_lost: bool,
    out: str,
    logs: str | None,
) -> int:
    """Write a request of NAME to stand in the roster, signed with NAME's key here.

    Carry the file to the safety officer, and read the code aloud when asked.
    """
    from checklist.commands import people as doing

    desk = start.desk(logs)
    file = path_named(out, "--out")
    return doing.write_request(desk, name, roles, call_sign, file, is_new=new_key, is_lost=old_lost)


@people.command("appoint")
@click.argument("name")
@_call
@_logs
@json_wish
@click.pass_obj
def appoint(start: Start, name: str, call_sign: str, logs: str | None) -> int:
    """Make NAME the safety officer, on NAME's own laptop, and pin the key here.

    Also the way when the old officer's key is lost: the new one first takes the roster that a
    station sends, so that its people stay; every station then compares the code anew.
    """
    from checklist.commands.people import appoint_officer

    return appoint_officer(start.desk(logs), name, call_sign)


@people.command("enrol")
@click.argument("file")
@click.option("--code", required=True, help="The key's code as the person reads it aloud.")
@_roles
@_trained
@click.option("--as-officer", is_flag=True, help="This person is safety officer from now on.")
@_logs
@json_wish
@click.pass_obj
def enrol(
    start: Start,
    file: str,
    code: str,
    roles: tuple[str, ...],
    trained: str,
    as_officer: bool,
    logs: str | None,
) -> int:
    """Put the person of the request FILE into the roster; the safety officer signs."""
    from checklist.commands import people as doing

    path = path_named(file, "FILE")
    return doing.enrol(start.desk(logs), path, code, roles, trained, as_officer=as_officer)


@people.command("revoke")
@click.argument("name")
@click.option("--key", default="", metavar="CODE", help="Which key, by its code; else all.")
@click.option("--reason", required=True, help="Why, such as: laptop lost.")
@click.option("--since", default="", metavar="TIME", help="From when, as 2026-11-25 18:00.")
@_logs
@json_wish
@click.pass_obj
def revoke(start: Start, name: str, key: str, reason: str, since: str, logs: str | None) -> int:
    """Say that a key of NAME is not to be trusted any more; the safety officer signs."""
    from checklist.commands.people import revoke_key

    return revoke_key(start.desk(logs), name, key, reason, since)


@people.command("change")
@click.argument("name")
@_roles
@_call
@_trained
@click.option("--until", default="", metavar="DATE", help="Day on which the keys run out.")
@_logs
@json_wish
@click.pass_obj
def change(
    start: Start,
    name: str,
    roles: tuple[str, ...],
    call_sign: str,
    trained: str,
    until: str,
    logs: str | None,
) -> int:
    """Change what the roster says of NAME; the safety officer signs."""
    from checklist.commands.people import change_person

    return change_person(start.desk(logs), name, roles, call_sign, trained, until)


@people.command("send")
@_out
@_logs
@json_wish
@click.pass_obj
def send(start: Start, out: str, logs: str | None) -> int:
    """Write the roster into a file for the stations."""
    from checklist.commands.people import write_roster

    return write_roster(start.desk(logs), path_named(out, "--out"))


@people.command("take")
@click.argument("file")
@click.option("--code", default="", help="The officer's code as it was read aloud to you.")
@_logs
@json_wish
@click.pass_obj
def take(start: Start, file: str, code: str, logs: str | None) -> int:
    """Put the roster in FILE in force here.

    The first time, and after an officer's key was lost, --code is needed: call the officer on
    a number that you know.
    """
    from checklist.commands.people import take_file

    return take_file(start.desk(logs), path_named(file, "FILE"), code)


@click.group(invoke_without_command=True, short_help="How far a ledger is known to the officer.")
@_logs
@_json
@click.pass_context
def receipt(context: click.Context, logs: str | None, as_json: bool) -> int:
    """List the receipts here, what stands without one, and the code for the paper log."""
    if context.invoked_subcommand is not None:
        return FINE
    from checklist.commands.receipt import list_receipts

    start: Start = context.obj
    return list_receipts(start.desk(logs), as_json=as_json)


@receipt.command("send")
@click.option("--after", default=0, type=click.IntRange(min=0), help="Only what follows entry N.")
@_out
@_logs
@json_wish
@click.pass_obj
def send_entries(start: Start, after: int, out: str, logs: str | None) -> int:
    """Write the ledger's entries into a file for the safety officer."""
    from checklist.commands.receipt import write_entries

    return write_entries(start.desk(logs), after, path_named(out, "--out"))


@receipt.command("give")
@click.argument("source", metavar="FOLDER|FILE")
@click.option("--out", default="", metavar="FILE", help="For a FILE: where the receipt goes.")
@_logs
@json_wish
@click.pass_obj
def give(start: Start, source: str, out: str, logs: str | None) -> int:
    """Check a station's log FOLDER, or a FILE of entries, store it, and sign a receipt.

    Only on the safety officer's laptop. Into a FOLDER the receipt is put at once. Exit code 1
    where the ledger is not the one that was seen before.
    """
    from checklist.commands.receipt import give_receipt

    target = path_named(out, "--out") if out else None
    return give_receipt(start.desk(logs), path_named(source, "FOLDER"), target)


@receipt.command("take")
@click.argument("file")
@_logs
@json_wish
@click.pass_obj
def take_receipt(start: Start, file: str, logs: str | None) -> int:
    """Put a receipt that came as a FILE into this log folder."""
    from checklist.commands.receipt import take_file

    return take_file(start.desk(logs), path_named(file, "FILE"))


@receipt.command("compare")
@click.argument("code", nargs=-1, required=True)
@click.option("--number", type=click.IntRange(min=1), help="The entry's number beside the code.")
@_logs
@json_wish
@click.pass_obj
def compare(start: Start, code: tuple[str, ...], number: int | None, logs: str | None) -> int:
    """Say which entry of the ledger has the CODE of the paper log; exit code 1 for none.

    The entry's number may stand before it, as it is printed.
    """
    from checklist.commands.receipt import compare_code

    return compare_code(start.desk(logs), " ".join(code), number)

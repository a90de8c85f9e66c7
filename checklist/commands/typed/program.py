"""The program as one command with all others below it, and how a line is run."""

from __future__ import annotations

import os
from collections.abc import Sequence

import click

from checklist import __version__
from checklist.caution import BANNER, US_RULES
from checklist.commands.exits import FINE, MEANINGS, REFUSED
from checklist.commands.manual import manual
from checklist.commands.output import is_plain, print_error, settle_plain
from checklist.commands.typed.calculations import calculate, numbers
from checklist.commands.typed.demo import demo
from checklist.commands.typed.known import known
from checklist.commands.typed.pages import page
from checklist.commands.typed.people import people, receipt
from checklist.commands.typed.records import audit, correct, export, review, show, verify
from checklist.commands.typed.rulefiles import check_rules, copy_rules, rules, schema
from checklist.commands.typed.start import OpenScreens, Start, logs_option
from checklist.commands.typed.stations import bonding, exposure, station
from checklist.commands.typed.tags import tags
from checklist.commands.typed.walks import (
    PLAIN_HELP,
    completion,
    give_up,
    go_on,
    hurt,
    now,
    rehearse,
    sign,
    walk,
)
from checklist.commands.wishes import PLAIN_OPTION

_COMMANDS: tuple[click.Command, ...] = (
    *(walk, rehearse, go_on, give_up, sign, hurt, now, completion),
    *(review, show, verify, audit, correct, export),
    *(rules, check_rules, copy_rules, schema),
    *(calculate, numbers),
    *(station, bonding, exposure),
    *(tags, people, receipt, known, page, manual, demo),
)


def run_line(arguments: Sequence[str], open_screens: OpenScreens) -> int:
    """Return the number to end with after doing what the arguments say.

    Raises StandclearError and whatever a command raises; what click refuses is said here.
    """
    try:
        number = standclear.main(
            args=settle_plain(arguments, os.environ),
            prog_name="standclear",
            standalone_mode=False,
            obj=Start(open_screens),
        )
    except click.ClickException as refused:
        print_error(f"{refused.format_message()} See standclear --help.")
        return REFUSED
    except click.Abort:
        raise KeyboardInterrupt from None
    return number if isinstance(number, int) else FINE


def _help_end() -> str:
    codes = "\n".join(f"  {number:>3}  {meaning}" for number, meaning in MEANINGS.items())
    return f"\b\nExit codes:\n{codes}\n\n\b\n{BANNER}\n{US_RULES}"


@click.group(
    invoke_without_command=True,
    epilog=_help_end(),
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="standclear", message="%(prog)s %(version)s")
@logs_option
@click.option(PLAIN_OPTION, "is_plain_wished", is_flag=True, expose_value=False, help=PLAIN_HELP)
@click.option("--json", "as_json", is_flag=True, hidden=True)
@click.pass_context
def standclear(context: click.Context, logs: str | None, as_json: bool) -> int:
    """Walk safety checks at an amateur-radio station, compute, and keep signed logs.

    Without a command the screens open at home; with --plain it is told in lines.
    """
    start: Start = context.obj
    start.logs = logs
    name = context.invoked_subcommand
    if as_json and name is not None:
        raise click.UsageError(f"--json stands behind the command: standclear {name} --json.")
    if name is None and (as_json or is_plain()):
        from checklist.commands.now import print_now

        return print_now(start.desk(None), as_json=as_json)
    if name is None:
        return start.open_screens(start.desk(None), "", False)
    return FINE


for _command in _COMMANDS:
    standclear.add_command(_command)

"""The words `standclear page ...` on the command line."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from checklist.commands.done import json_wish
from checklist.commands.places import LOGS_OPTION, path_named
from checklist.pages.page import PAPERS, Paper

if TYPE_CHECKING:
    from checklist.commands.pages import Target
    from checklist.commands.typed.start import Start

_logs = click.option(LOGS_OPTION, "logs", metavar="FOLDER", help="The log folder.")


def _printed(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add what every page takes: where it goes, which log folder, and whether JSON is wished."""
    paper = click.option("--paper", type=click.Choice(PAPERS), default="letter", help="For PDF.")
    to = click.option(
        "--to", default="", metavar="FILE", help="A new file: .pdf, or .txt for plain text."
    )
    return to(paper(_logs(json_wish(click.pass_obj(command)))))


def _at(to: str, paper: Paper) -> Target:
    from checklist.commands.pages import Target

    return Target(path_named(to, "--to") if to else None, paper)


@click.group(short_help="Print a page: session, evaluation, bonding, audit, tag, form, hurt.")
def page() -> None:
    """Print a page as text, or write it with --to into a new PDF or text file.

    PDF needs the typesetter, once: .venv/bin/pip install -e '.[pages]'. Without it every page
    comes as plain text. With --plain a page is said in whole sentences.
    """


@page.command("session")
@click.argument("session")
@_printed
def session(start: Start, session: str, to: str, paper: Paper, logs: str | None) -> int:
    """Print the record of one SESSION: who, when, every answer, finding and signature."""
    from checklist.commands.pages import print_session

    return print_session(start.desk(logs), session, _at(to, paper))


@page.command("evaluation")
@click.argument("what", metavar="STATION|SESSION")
@click.option("--variant", default="", metavar="TEXT", help="The STATION with this changed.")
@_printed
def evaluation(
    start: Start, what: str, variant: str, to: str, paper: Paper, logs: str | None
) -> int:
    """Print the RF evaluation for the file: a draft from a station file, or a SESSION's own.

    What is not the name of a file is taken for the beginning of a session's name. With --variant,
    worded as for standclear exposure, the page is of the station with that changed.
    """
    from checklist.commands.pages import print_evaluation

    path = path_named(what, "STATION")
    return print_evaluation(start.desk(logs), what, path, variant, _at(to, paper))


@page.command("bonding")
@click.argument("what", metavar="STATION|SESSION")
@_printed
def bonding(start: Start, what: str, to: str, paper: Paper, logs: str | None) -> int:
    """Print the bonding diagram of a station file, or of the one that a SESSION judged.

    What is not the name of a file is taken for the beginning of a session's name.
    """
    from checklist.commands.pages import print_bonding

    path = path_named(what, "STATION")
    return print_bonding(start.desk(logs), what, path, _at(to, paper))


@page.command("audit")
@click.argument("folders", nargs=-1, metavar="[FOLDER ...]")
@_printed
def audit(start: Start, folders: tuple[str, ...], to: str, paper: Paper, logs: str | None) -> int:
    """Audit log FOLDERs, or the own one, and print the report."""
    from checklist.commands.pages import print_audit

    paths = [path_named(folder, "FOLDER") for folder in folders]
    return print_audit(start.desk(logs), paths, _at(to, paper))


@page.command("tag")
@click.argument("tag")
@_printed
def tag(start: Start, tag: str, to: str, paper: Paper, logs: str | None) -> int:
    """Print the page of a TAG that hangs, to cut out; by its id or its lock's number."""
    from checklist.commands.pages import print_tag_sheet

    return print_tag_sheet(start.desk(logs), tag, _at(to, paper))


@page.command("form")
@click.argument("rule_file", metavar="RULEFILE")
@_printed
def form(start: Start, rule_file: str, to: str, paper: Paper, logs: str | None) -> int:
    """Print a blank paper form of a RULEFILE, for a whole walk when the laptop is dead."""
    from checklist.commands.pages import print_form

    return print_form(start.desk(logs), rule_file, _at(to, paper))


@page.command("hurt")
@click.argument("station", default="")
@_printed
def hurt(start: Start, station: str, to: str, paper: Paper, logs: str | None) -> int:
    """Print the card for the wall, with the address from STATION or with lines for it."""
    from checklist.commands.pages import print_card

    path = path_named(station, "STATION") if station else None
    return print_card(start.desk(logs), path, _at(to, paper))

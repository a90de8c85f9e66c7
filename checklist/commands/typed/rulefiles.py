"""The commands on rule files: list, check, copy, and the schema of their form."""

from __future__ import annotations

from pathlib import Path

import click

from checklist.commands.places import path_named
from checklist.commands.typed.start import Start, json_option, logs_option, start_passed


@click.command(short_help="List the rule files at hand.")
@logs_option
@json_option
@start_passed
def rules(start: Start, logs: str | None, as_json: bool) -> int:
    """List the rule files at hand, shipped ones and the club's own."""
    from checklist.commands import rules as listing

    return listing.list_rules(start.desk(logs).library, as_json=as_json)


@click.command("check-rules", short_help="Check rule files and run their examples.")
@click.argument("files", nargs=-1, metavar="[FILE ...]")
@logs_option
@json_option
@start_passed
def check_rules(start: Start, files: tuple[str, ...], logs: str | None, as_json: bool) -> int:
    """Check rule files strictly, every error with its place, and run their examples.

    Without a FILE everything in the club's folder is checked, its tables and sources too.
    """
    from checklist.commands import rules as checking

    paths: list[Path] = [path_named(file, "FILE") for file in files]
    return checking.check_rules(start.desk(logs).library, paths, as_json=as_json)


@click.command("copy-rules", short_help="Copy a rule file to change it.")
@click.argument("name")
@click.argument("new_name", metavar="NEWNAME")
@logs_option
@json_option
@start_passed
def copy_rules(start: Start, name: str, new_name: str, logs: str | None, as_json: bool) -> int:
    """Copy the rule file NAME into the club's folder as NEWNAME, for you to change."""
    from checklist.commands import authoring

    return authoring.copy_rules(start.desk(logs), name, new_name, as_json=as_json)


@click.command(short_help="Print the JSON Schema of rule files.")
def schema() -> int:
    """Print the JSON Schema of rule files, so that an editor can help while one writes."""
    from checklist.commands import authoring

    return authoring.print_schema()

"""The commands on what the checks rest on: calculations, values and limits."""

from __future__ import annotations

import click

from checklist.commands.places import path_named
from checklist.commands.typed.start import Start, json_option, logs_option, start_passed


@click.command(
    short_help="Run, explain or list calculations.",
    epilog="\b\nFor example:\n  standclear calculate ladder-set-back\n"
    "  standclear calculate ladder-set-back working-length='20 ft' set-back='5 ft'",
)
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1, metavar="[INPUT=QUANTITY ...]")
@click.option("--explain", is_flag=True, help="Say every step in whole sentences, for a class.")
@click.option("--picture", is_flag=True, help="Also draw the result, where it has a picture.")
@click.option("--svg", metavar="FILE", help="Also draw it into a new SVG file.")
@json_option
@start_passed
def calculate(
    start: Start,
    name: str | None,
    inputs: tuple[str, ...],
    explain: bool,
    picture: bool,
    svg: str | None,
    as_json: bool,
) -> int:
    """Run the calculation NAME; without inputs explain it, without NAME list all.

    Exit code 0 for within, 1 for over, 3 where it is not shown: an input unknown, or a case
    that the method does not cover.
    """
    from checklist.commands import calculate as calculating

    book = start.desk(None).library.book()
    file = path_named(svg, "--svg") if svg else None
    drawn = calculating.Shown(explained=explain, drawn=picture, svg=file, as_json=as_json)
    return calculating.calculate(name, inputs, book, drawn)


@click.command(short_help="List what the checks rest on.")
@click.argument("text", nargs=-1)
@logs_option
@json_option
@start_passed
def numbers(start: Start, text: tuple[str, ...], logs: str | None, as_json: bool) -> int:
    """List every value and limit in use that holds all words of TEXT.

    Each with its citation, edition and standing, and with the steps and calculations that use
    it. “unverified” finds what is only from memory, “club” what the club put in the place of
    shipped values, “unused” what nothing uses.
    """
    from checklist.commands.numbers import list_numbers

    return list_numbers(start.desk(logs).library, text, as_json=as_json)

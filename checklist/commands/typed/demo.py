"""The command line of the invented club."""

from __future__ import annotations

import click

from checklist.commands.places import path_named
from checklist.demo.cast import SEED


@click.command(short_help="Build an invented club to try everything on.")
@click.argument("folder")
@click.option("--seed", type=click.IntRange(0, 2**32), default=SEED, help=f"Otherwise {SEED}.")
@click.option(
    "--size",
    type=click.Choice(["small", "year"]),
    default="year",
    help="small: only what is planted; year: with the ordinary days between.",
)
@click.option("--last-day", default="", metavar="DATE", help="The last day of its year.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
def demo(folder: str, seed: int, size: str, last_day: str, as_json: bool) -> int:
    """Build an invented club in FOLDER, which must be new or empty.

    Two stations, a field event with three laptops, a year of signed sessions with faults to
    find, and INVENTED.txt, which says what is planted and where. Nothing in it is real.
    """
    from checklist.commands.demo import build_demo

    return build_demo(path_named(folder, "FOLDER"), seed, size, last_day, as_json=as_json)

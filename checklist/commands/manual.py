"""The manual as text: the list of its pages, or one of them."""

from __future__ import annotations

import click

from checklist.commands.done import json_wish, say_done
from checklist.commands.exits import FINE
from checklist.commands.output import is_plain
from checklist.helppages import laid_out, page_names

WIDTH = 80
_ONE_LINE = 100_000
"""Wider than any paragraph: a screen reader gets its sentences whole."""


@click.command(short_help="Read the manual: its pages, or one of them.")
@click.argument("page", required=False)
@json_wish
def manual(page: str | None) -> int:
    """Print the PAGE of the manual, or list the pages; F1 opens the same in the screens.

    With --plain the pictures of screens are left out.
    """
    if page is None:
        titles = {name: laid_out(name, WIDTH).title for name in page_names()}
        listed = [f"{name:<18}{title}" for name, title in titles.items()]
        say_done(
            ["The manual. Read one with: standclear manual PAGE", "", *listed], {"pages": titles}
        )
    else:
        plain = is_plain()
        found = laid_out(page, _ONE_LINE if plain else WIDTH, drawn=not plain)
        say_done(found.lines, {"page": page, "title": found.title, "lines": found.lines})
    return FINE

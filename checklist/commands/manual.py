"""The manual as text: the list of its pages, or one of them."""

from __future__ import annotations

import click

from checklist.commands.exits import FINE
from checklist.commands.output import is_plain, print_page
from checklist.helppages import laid_out, page_names

WIDTH = 80


@click.command(short_help="Read the manual: its pages, or one of them.")
@click.argument("page", required=False)
def manual(page: str | None) -> int:
    """Print the PAGE of the manual, or list the pages; F1 opens the same in the screens.

    With --plain the pictures of screens are left out.
    """
    if page is None:
        titles = [f"{name:<18}{laid_out(name, WIDTH).title}" for name in page_names()]
        print_page(["The manual. Read one with: standclear manual PAGE", "", *titles])
    else:
        print_page(laid_out(page, WIDTH, drawn=not is_plain()).lines)
    return FINE

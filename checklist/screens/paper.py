"""Puts what a screen shows on paper: makes the page in a thread, writes it, and says where."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.screens.longwork import in_thread
from checklist.stopping import Stopped, Tell

if TYPE_CHECKING:
    from checklist.pages.making import Sheet
    from checklist.screens.doors import Doors


async def put_on_paper(app: Doors, sheets: Sequence[Sheet]) -> str:
    """Write each page into a new file beside the log folder, and return where they are.

    A page that cannot be made is a sentence and does not keep the others back.
    """
    desk = app.desk

    def write(sheet: Sheet, tell: Tell) -> str:
        from checklist.pages.writing import print_for

        name, make = sheet
        try:
            page = make(tell)
            tell("written", 0, 0)  # the last moment to stop it
            return print_for(desk, page, name).says if page else ""
        except Stopped:
            raise
        except StandclearError as error:
            return error.sentence()
        except OSError as error:
            return f"It cannot be written ({(error.strerror or str(error)).lower()})."

    what = "making the page"
    app.say(f"{what}; Esc stops it")
    said = ""
    try:
        for sheet in sheets:
            said = f"{said} {await in_thread(app, what, partial(write, sheet))}".strip()
    except Stopped as stopped:
        said = f"{said} {stopped.sentence()}".strip()
    return said

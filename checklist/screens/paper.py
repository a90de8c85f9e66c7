"""Puts what a screen shows on paper: makes the page in a thread, writes it, and says where."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.worker import get_current_worker

from checklist.errors import StandclearError
from checklist.screens.longwork import heard

if TYPE_CHECKING:
    from checklist.pages.making import Sheet
    from checklist.screens.doors import Doors


async def put_on_paper(app: Doors, sheets: Sequence[Sheet]) -> str:
    """Write each page into a new file beside the log folder, and return where they are.

    A page that cannot be made is a sentence and does not keep the others back.
    """
    worker, desk = get_current_worker(), app.desk
    tell = heard(app.say, "making the page")

    def write(sheet: Sheet) -> str:
        from checklist.pages.writing import print_for

        name, make = sheet
        try:
            page = make(tell)
            if worker.is_cancelled:
                return ""
            return print_for(desk, page, name).says if page else ""
        except StandclearError as error:
            return error.sentence()
        except OSError as error:
            return f"It cannot be written ({(error.strerror or str(error)).lower()})."

    app.say("making the page; Esc stops it")
    said = [await asyncio.to_thread(write, sheet) for sheet in sheets]
    return " ".join(sentence for sentence in said if sentence)

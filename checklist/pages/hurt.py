"""The card for the wall: what to do first when someone is hurt. One sheet, large type."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.emergencies import CALL, EMERGENCIES, FIRST, Emergency
from checklist.pages.identity import of_text
from checklist.pages.page import Block, Heading, Listed, Page, Together, Words, WriteOn

TITLE = "SOMEONE IS HURT"
IS_NOT = "This card is no first-aid course and replaces none; take one, and let it go first."


def hurt_card(where: str = "") -> Page:
    """Return the card; `where` is what to tell the operator about the place, else lines for it."""
    blocks: list[Block] = [
        Words(FIRST, "loud"),
        Words(CALL, "loud"),
        *_where(where),
        *(block for one in EMERGENCIES for block in _emergency(one)),
        Words(
            "Rests on: " + " ".join(f"{e.what.split(':')[0]}: {e.rests_on}." for e in EMERGENCIES),
            "small",
        ),
    ]
    said = "\n".join([FIRST, CALL, where, *(line for e in EMERGENCIES for line in e.do)])
    return Page(TITLE, "", of_text("Card for the wall, on no record", said), IS_NOT, tuple(blocks))


def _where(where: str) -> Iterator[Block]:
    if where:
        yield Together((Words("Say where:", "strong"), Words(where)), is_boxed=True)
        return
    yield Together(
        (
            WriteOn("Say where (street, number, town):"),
            WriteOn("Way in (gate, code, track, who waits where):"),
            WriteOn("Coordinates:"),
        ),
        is_boxed=True,
    )


def _emergency(one: Emergency) -> Iterator[Block]:
    yield Together((Heading(one.what, 2), Listed(one.do, is_numbered=True)))

"""The card for the wall: what to do first when someone is hurt. One sheet, large type."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.caution import BANNER
from checklist.emergencies import FIRST, Emergency, call, emergencies
from checklist.pages.identity import of_text
from checklist.pages.page import Block, Heading, Listed, Page, Together, Words, WriteOn

_TYPE_PT = 12
_SHEET_LINES = 66
TITLE = "SOMEONE IS HURT"
IS_NOT = "This card is no first-aid course; take one, and let it go first."


def hurt_card(where: str = "") -> Page:
    """Return the card; `where` is what to tell the operator about the place, else lines for it."""
    blocks: list[Block] = [
        Words(f"{FIRST}\n{call()}", "loud"),
        *_where(where),
        *(block for one in emergencies() for block in _emergency(one)),
        Words(
            "Rests on: " + " ".join(f"({e.key}) {e.rests_on}." for e in emergencies()),
            "small",
        ),
    ]
    said = "\n".join([FIRST, call(), where, *(line for e in emergencies() for line in e.do)])
    identity = of_text("Card for the wall, on no record", said)
    return Page(
        TITLE, "", identity, IS_NOT, tuple(blocks), _TYPE_PT, _SHEET_LINES, cautions=(BANNER,)
    )


def _where(where: str) -> Iterator[Block]:
    if where:
        yield Together((Words("Say where:", "strong"), Words(where)), is_boxed=True)
        return
    yield Together(
        (
            WriteOn("Say where (street, number, town):"),
            WriteOn("Way in (gate, code, who waits where), coordinates:"),
        ),
        is_boxed=True,
    )


def _emergency(one: Emergency) -> Iterator[Block]:
    """Yield one emergency; the call, which stands above in large type, is named in a word."""
    do = tuple(line.replace(call(), "CALL.") for line in one.do)
    yield Together((Heading(f"{one.key}. {one.what}", 2), Listed(do, is_numbered=True)))

"""The tag for the point as a page to print, cut out and hang beside the lock."""

from __future__ import annotations

from checklist.pages.page import Drawn, Identity, Page
from checklist.record.ledgers.ledger import Recorded
from checklist.record.ledgers.tags import HUNG, Tag
from checklist.record.roll.spoken import head_code
from checklist.rulebook import Book
from checklist.sessions.tagging.bigletters import WIDTH
from checklist.sessions.tagging.tagpage import LEGEND, svg_sheet, text_page

IS_NOT = (
    "This paper is no lock and no proof that anything is dead: the lock at the point decides, and "
    "a test before touch."
)
SHEET_MM = (259, 172)
"""Width and height of the part that is cut out; it fits Letter and A4, lying."""

_TEXT_LINES = 66
_EDGE_MM = 5


def tag_sheet(tag: Tag, book: Book, identity: Identity, mark: str = "") -> Page:
    """Return the page of a tag, its large lines to be read at two metres.

    `mark` goes onto the part that is cut out as well, where the tag is an invented club's.
    """
    lines = tuple(text_page(tag, mark).splitlines())
    until = f"{tag.until:%Y-%m-%d %H:%M}" if tag.until else "not known"
    said = (
        f"Point {tag.point}, lock {tag.lock}, hung by {tag.person}",
        f"Reached at {tag.reach or 'not known'}",
        f"Why: {tag.why or 'not known'}",
        f"Since {tag.since:%Y-%m-%d %H:%M}, expected until {until}",
        f"Only {tag.person} takes this lock off",
    )
    sheet = Drawn(LEGEND, _svg(tag, book, mark), _marked(lines), said, SHEET_MM[0])
    return Page(
        f"{LEGEND}: {tag.point}", "", identity, IS_NOT, (sheet,),
        sheet_lines=_TEXT_LINES + 14, is_lying=True,
    )  # fmt: skip


def identity_of(tag: Tag, entries: tuple[Recorded, ...]) -> Identity:
    """Return the identity of a tag: the entry by which it was hung, as far as one is here."""
    for recorded in entries:
        if recorded.entry.kind == HUNG and recorded.entry.field("tag") == tag.id:
            says = f"Tag {tag.id}, ledger {tag.origin}, entry {recorded.entry.number}"
            return Identity(says, recorded.sha256, head_code(recorded.sha256))
    where = f"ledger {tag.origin}, whose entry is not here" if tag.origin else "in no ledger yet"
    return Identity(f"Tag {tag.id}, {where}", "")


def _svg(tag: Tag, book: Book, mark: str) -> str:
    width, height = (size + 2 * _EDGE_MM for size in SHEET_MM)
    return svg_sheet(tag, book, width, height, cut=_EDGE_MM, mark=mark)


def _marked(lines: tuple[str, ...]) -> tuple[str, ...]:
    return (*lines, "-" * WIDTH)

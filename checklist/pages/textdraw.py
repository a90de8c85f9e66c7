"""Draws a page as plain text: 80 columns, in sheets that any printer takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from checklist.pages.page import (
    Blanks,
    Block,
    Drawn,
    Fixed,
    Grid,
    Heading,
    Identity,
    Labelled,
    Listed,
    NewPage,
    Page,
    Signing,
    Ticks,
    Together,
    Words,
    WriteOn,
)
from checklist.pages.textcells import WIDTH, columns, cut, padded, wrap
from checklist.pages.textsheets import Sheets
from checklist.plaintext import shown

FEED = "\f"
"""Between two sheets: the printer takes a new one (form feed, ISO 6429)."""

_LABEL = 16
_BEHIND_LEAD = 4
"""Lines that must follow a heading on its sheet."""

_RULE = "-" * WIDTH
_BLANK = "_"
_LEAST_BLANK = 12
"""Columns to write on behind a label: a time and initials."""


def as_text(page: Page) -> str:
    """Return the page as sheets of text, each with head, number, and foot."""
    foot = _foot(page)
    has_both = bool(page.head and page.to_fill)
    room = page.sheet_lines - len(foot) - 3 - has_both
    top_lines = wrap(shown(page.subtitle), WIDTH) if page.subtitle else []
    sheets = _sheets(page.blocks, room, len(top_lines))
    drawn = []
    for number, body in enumerate(sheets, start=1):
        count = f"page {number} of {len(sheets)}"
        head = f"{cut(shown(page.title), WIDTH - len(count) - 2)}"
        to_fill = _filled(page.to_fill, WIDTH) if page.to_fill and number > 1 else ""
        top = [
            head + " " * (WIDTH - columns(head) - len(count)) + count,
            *([cut(shown(page.head), WIDTH)] if has_both else []),
            cut(to_fill if has_both else shown(page.head) or to_fill, WIDTH),
        ]
        if number == 1:
            body = [*top_lines, *body]
        filling = [""] * max(0, room - len(body))
        drawn.append("\n".join([*top, *body, *filling, "", *foot]))
    return f"\n{FEED}".join(drawn) + "\n"


def block_lines(block: Block, width: int = WIDTH) -> list[str]:
    """Return one block as lines, none longer than `width` columns."""
    match block:
        case Heading(text=text, level=level):
            said = shown(text)
            return [*wrap(said.upper() if level == 1 else said, width)]
        case Words(text=text):
            return [row for line in _lines(text) for row in wrap(line, width)]
        case Listed():
            return list(_list(block, width))
        case Labelled(rows=rows):
            return [row for name, value in rows for row in _labelled(name, value, width)]
        case Grid():
            return list(_grid(block, width))
        case Drawn(lines=lines) | Fixed(lines=lines):
            return [row for line in lines for row in wrap(shown(line), width)]
        case Together(blocks=blocks, is_boxed=is_boxed):
            inside = [row for inner in blocks for row in block_lines(inner, width)]
            return [_RULE[:width], *inside] if is_boxed else inside
        case NewPage():
            return []
        case _:
            return list(_by_hand(block, width))


def _by_hand(block: Ticks | WriteOn | Blanks | Signing, width: int) -> Iterator[str]:
    """Yield what is to be filled in with a pen."""
    match block:
        case Ticks():
            yield from _ticks(block, width)
        case WriteOn():
            yield from _write_on(block, width)
        case Blanks(fields=fields):
            yield from _blanks(fields, width)
        case Signing(who=who):
            yield from (row for one in who for row in _signing(shown(one), width))


def _sheets(blocks: Sequence[Block], room: int, taken: int) -> list[list[str]]:
    """Put the blocks onto sheets; what belongs together moves to the next one whole, if it fits.

    `taken` lines of the first sheet are for what stands above the blocks.
    """
    sheets = Sheets(room, taken)
    for block in blocks:
        if isinstance(block, NewPage):
            sheets.turn()
            continue
        rows = block_lines(block)
        leads = isinstance(block, Heading) or (isinstance(block, Words) and block.weight == "lead")
        if leads or isinstance(block, Together | Drawn | Signing):
            sheets.make_room(len(rows) + (_BEHIND_LEAD if leads else 0))
        head, held = _held(block, rows)
        for at, group in enumerate(held):
            sheets.put(group, head if at else ())
        if not leads:
            sheets.gap()
    return sheets.filled()


def _held(block: Block, rows: list[str]) -> tuple[list[str], list[list[str]]]:
    """Return what a table has at its head, and which lines stay on one sheet: a row, an entry."""
    match block:
        case Grid():
            head = list(_grid(replace(block, rows=()), WIDTH))
            held = [list(_grid(replace(block, head=(), rows=(r,)), WIDTH)) for r in block.rows]
            first, *others = held or [[]]
            return head, [[*head, *first], *others]
        case Labelled(rows=labelled):
            return [], [list(_labelled(name, value, WIDTH)) for name, value in labelled]
        case _:
            return [], [[row] for row in rows]


def _foot(page: Page) -> list[str]:
    said = [*_identity(page.identity), page.is_not, *page.cautions]
    return [_RULE, *(row for line in said if line for row in wrap(shown(line), WIDTH))]


def _identity(identity: Identity) -> Iterator[str]:
    if not identity.sha256:
        yield identity.says
        return
    yield f"{identity.says}. Code {identity.code}"
    yield f"SHA-256 {identity.sha256}"


def _lines(text: str) -> list[str]:
    return shown(text, lines=True).split("\n")


def _list(block: Listed, width: int) -> Iterator[str]:
    for number, entry in enumerate(block.entries, start=1):
        mark = f"{number}. " if block.is_numbered else "- "
        lead = mark
        for row in wrap(shown(entry), width - len(mark)):
            yield lead + row
            lead = " " * len(mark)


def _labelled(name: str, value: str, width: int) -> Iterator[str]:
    label = shown(name)
    rows = [row for line in _lines(value) for row in wrap(line, width - _LABEL)] or [""]
    if columns(label) >= _LABEL:
        yield from wrap(label, width)
        label = ""
    for row in rows:
        yield padded(label, _LABEL) + row
        label = ""


def _grid(block: Grid, width: int) -> Iterator[str]:
    gaps = 2 * (len(block.shares) - 1)
    whole = sum(block.shares)
    widths = [max(4, (width - gaps) * share // whole) for share in block.shares]
    if block.head:
        yield from _row(block.head, widths)
        yield "  ".join("-" * w for w in widths)
    for row in block.rows:
        if block.is_roomy:
            filled = tuple(c or _BLANK * w for c, w in zip(row, widths, strict=True))
            yield from _row(filled, widths)
        else:
            yield from _row(row, widths)


def _row(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    wrapped = [
        [row for line in _lines(cell) for row in wrap(line, w)]
        for cell, w in zip(cells, widths, strict=True)
    ]
    for at in range(max(map(len, wrapped), default=0)):
        parts = [
            padded(rows[at] if at < len(rows) else "", w)
            for rows, w in zip(wrapped, widths, strict=True)
        ]
        yield "  ".join(parts).rstrip()


def _ticks(block: Ticks, width: int) -> Iterator[str]:
    boxes = [f"[ ] {shown(label)}" for label in block.labels]
    fields = [f"{shown(label)} {_BLANK * 4 * size}" for label, size in block.fields]
    if block.is_across:
        held = [part.replace(" ", "\N{NO-BREAK SPACE}") for part in (*boxes, *fields)]
        yield from wrap("    ".join(held), width)
        return
    for box in boxes:
        lead = ""
        for row in wrap(box, width - 4):
            yield lead + row
            lead = "    "
    if fields:
        yield "  ".join(fields)


def _write_on(block: WriteOn, width: int) -> Iterator[str]:
    rows = wrap(shown(block.label), width - 12) or [""]
    *before, last = rows
    yield from before
    yield f"{last}{' ' if last else ''}{_BLANK * (width - columns(last) - (1 if last else 0))}"
    yield from (_BLANK * width for _ in range(block.lines - 1))


def _blanks(fields: Sequence[tuple[str, int]], width: int) -> Iterator[str]:
    """Yield labels with room to write behind each, as many on a line as leave enough of it."""
    row: list[tuple[str, int]] = []
    for label, share in fields:
        needed = sum(_least(one) for one, _ in (*row, (label, share))) + 2 * len(row)
        if row and needed > width:
            yield _filled(row, width)
            row = []
        row.append((label, share))
    if row:
        yield from wrap(_filled(row, width), width)


def _least(label: str) -> int:
    return columns(shown(label)) + 1 + _LEAST_BLANK


def _filled(row: Sequence[tuple[str, int]], width: int) -> str:
    """Return fields on one line, what is left of it shared out to write on."""
    left = width - sum(_least(label) for label, _ in row) - 2 * (len(row) - 1)
    whole = sum(share for _, share in row)
    cells = (
        f"{shown(label)} {_BLANK * (_LEAST_BLANK + max(0, left) * share // whole)}".lstrip()
        for label, share in row
    )
    return "  ".join(cells)


def _signing(who: str, width: int) -> Iterator[str]:
    yield from wrap(who, width)
    yield ""
    yield f"Name {_BLANK * 20} Signature {_BLANK * 22} Time {_BLANK * 12}"

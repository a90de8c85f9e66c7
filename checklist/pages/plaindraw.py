"""Says a page in whole sentences, for ears and for people who read with a screen reader."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from checklist.pages.page import (
    Blanks,
    Block,
    Drawn,
    Fixed,
    Grid,
    Heading,
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
from checklist.plaintext import shown


def as_sentences(page: Page) -> str:
    """Return the page without columns, pictures or sheets: a line for each thing said.

    A picture is said by its title and its legend; a row of a table names each column.
    """
    lines = [_whole(page.head)] if page.head else []
    lines += [_whole(page.title)]
    lines += [_whole(page.subtitle)] if page.subtitle else []
    for block in page.blocks:
        lines += _said(block)
    if page.to_fill:
        asked = ", ".join(label.rstrip(":") for label, _ in page.to_fill)
        lines += ["", f"On every further sheet, to write: {asked}."]
    identity = page.identity
    lines += ["", _whole(identity.says)]
    if identity.sha256:
        lines.append(f"Its SHA-256 begins with {identity.code} and is {identity.sha256}.")
    lines += [_whole(page.is_not), *map(_whole, page.cautions)]
    return "\n".join(shown(line) for line in lines) + "\n"


def _said(block: Block) -> list[str]:
    match block:
        case Heading(text=text):
            return ["", _whole(text)]
        case Words(text=text):
            return [_whole(line) for line in text.splitlines()]
        case Listed(entries=entries, is_numbered=is_numbered):
            marks = (f"{n}. " if is_numbered else "" for n in range(1, len(entries) + 1))
            return [f"{mark}{_whole(entry)}" for mark, entry in zip(marks, entries, strict=True)]
        case Labelled(rows=rows):
            return [_whole(f"{name}: {' / '.join(value.splitlines())}") for name, value in rows]
        case Drawn():
            return [_whole(f"Picture: {block.title}"), *map(_whole, block.says)]
        case Together(blocks=blocks):
            return [line for inner in blocks for line in _said(inner)]
        case Grid() | Fixed() | NewPage():
            return list(_columned(block))
        case _:
            return list(_by_hand(block))


def _columned(block: Grid | Fixed | NewPage) -> Iterator[str]:
    match block:
        case Grid():
            yield from _rows(block)
        case Fixed(lines=lines):
            yield from (line.strip() for line in lines if line.strip())
        case NewPage():
            return


def _by_hand(block: Ticks | WriteOn | Blanks | Signing) -> Iterator[str]:
    """Say what is to be filled in with a pen."""
    match block:
        case Ticks(labels=labels, fields=fields):
            yield f"Tick one: {'; '.join(labels)}."
            yield from _to_write(fields)
        case WriteOn(label=label):
            yield f"To write: {label.rstrip(':') or 'more of the same'}."
        case Blanks(fields=fields):
            yield from _to_write(fields)
        case Signing(who=who):
            yield from (f"To sign, with name and time: {one}." for one in who)


def _to_write(fields: Sequence[tuple[str, int]]) -> Iterator[str]:
    labels = [label.rstrip(":") for label, _ in fields if label]
    if labels:
        yield f"To write: {', '.join(labels)}."
    elif fields:
        yield "To write: more of the same."


def _rows(grid: Grid) -> Iterator[str]:
    for row in grid.rows:
        if not grid.head:
            yield _whole("; ".join(cell for cell in row if cell))
            continue
        pairs = zip(grid.head, row, strict=True)
        yield _whole(
            "; ".join(
                f"{name}: {' / '.join(cell.splitlines()) or 'to be written'}"
                for name, cell in pairs
                if cell or grid.is_roomy
            )
        )


def _whole(text: str) -> str:
    said = text.strip()
    return said if not said or said[-1] in ".:!?" else f"{said}."

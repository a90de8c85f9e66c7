"""A page to be printed, as a description: what stands on it, and nothing of how it looks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from checklist.caution import BANNER, US_RULES

Weight = Literal["normal", "strong", "small", "loud", "lead"]
"""How much words matter; a `lead` is small and never the last on its sheet."""

Paper = Literal["letter", "a4"]
PAPERS: tuple[Paper, ...] = ("letter", "a4")


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 begins a chapter, level 2 stands within one."""

    text: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph."""

    text: str
    weight: Weight = "normal"


@dataclass(frozen=True, slots=True)
class Listed:
    """Entries of a list, each a sentence or two."""

    entries: tuple[str, ...]
    is_numbered: bool = False
    weight: Weight = "normal"


@dataclass(frozen=True, slots=True)
class Labelled:
    """Names with their values."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A table; `shares` are the widths of its columns as parts of the whole."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[int, ...]
    is_roomy: bool = False
    """Whether its empty cells are to be written in by hand."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture: as SVG for the typesetter, as lines for plain text, and said in words."""

    title: str
    svg: str
    lines: tuple[str, ...]
    says: tuple[str, ...] = ()
    """Its legend and sources, a sentence each; beside a picture, and instead of one in words."""

    width_mm: int = 0
    """Its width where that must be exact, as for a sheet to be cut out; 0 where it may shrink."""


@dataclass(frozen=True, slots=True)
class Fixed:
    """Lines whose columns matter."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ticks:
    """Boxes to tick, one beside the other or one below the other."""

    labels: tuple[str, ...]
    is_across: bool = True
    fields: tuple[tuple[str, int], ...] = ()
    """Short lines to write on behind the last box, each with its label and its width in 6 mm."""


@dataclass(frozen=True, slots=True)
class WriteOn:
    """A line, or several, to write on by hand."""

    label: str
    lines: int = 1


@dataclass(frozen=True, slots=True)
class Blanks:
    """Short lines to write on beside each other; each has its label and its share of the width."""

    fields: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Signing:
    """Lines to sign on: for each person name, signature and time."""

    who: tuple[str, ...]
    """Role, or name and role."""


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stay on one page as far as they fit."""

    blocks: tuple[Block, ...]
    is_boxed: bool = False


@dataclass(frozen=True, slots=True)
class NewPage:
    """What follows begins on a new page."""


Block = (
    Heading | Words | Listed | Labelled | Grid | Drawn | Fixed | Ticks | WriteOn | Blanks
    | Signing | Together | NewPage
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Identity:
    """What a page belongs to, so that a loose sheet can be put back, and held against its file."""

    says: str
    """One line: `Session 3f2a..., ledger 77..., entry 12`, or that it is on no record."""

    sha256: str
    """Of the entry, the file or the rule file that it was printed from; empty where there is none.
    """

    code: str = ""
    """The beginning of that hash in groups, to be read aloud."""


@dataclass(frozen=True, slots=True)
class Page:
    """One document of one or more sheets."""

    title: str
    subtitle: str
    identity: Identity
    is_not: str
    """One sentence: what nobody may take this page for."""

    blocks: tuple[Block, ...]
    type_pt: float = 10
    """Size of type on paper, in points."""

    sheet_lines: int = 60
    """Lines of a sheet as plain text; 66 lie on 11-inch paper at six to the inch."""

    is_lying: bool = False
    """Whether the sheet lies on its long side."""

    is_dense: bool = False
    """Whether edges and gaps are narrow, as on a form of which one prints many sheets."""

    cautions: tuple[str, ...] = (BANNER, US_RULES)
    """What stands at the foot of every sheet."""

    to_fill: tuple[tuple[str, int], ...] = ()
    """Short lines to write on at the head of every sheet but the first, as behind Ticks."""

    head: str = ""
    """What stands first on every sheet, where a page must not be taken for a real one."""


def flat(blocks: Sequence[Block]) -> Iterator[Block]:
    """Yield every block, those that stay together one by one."""
    for block in blocks:
        if isinstance(block, Together):
            yield from flat(block.blocks)
        else:
            yield block

"""Pages as plain text: sheets of one size, everything on them, nothing wider than 80 columns."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from checklist.caution import BANNER
from checklist.pages.page import Blanks, Drawn, Grid, Together, Words
from checklist.pages.plaindraw import as_sentences
from checklist.pages.textcells import WIDTH, columns, wrap
from checklist.pages.textdraw import FEED, as_text, block_lines
from tests.pages.making import LONG, ODD, SVG, every_block, page_of


@pytest.mark.parametrize("text", ["plain words", ODD, LONG, "名前 " * 60])
def test_every_sheet_has_its_size(text: str) -> None:
    """Whatever stands on it, a sheet has 60 lines of at most 80 columns."""
    sheets = as_text(page_of(*every_block(text))).split(FEED)

    assert {len(sheet.rstrip("\n").split("\n")) for sheet in sheets} == {60}
    assert max(columns(line) for sheet in sheets for line in sheet.split("\n")) <= WIDTH


def test_every_sheet_says_what_it_is_and_is_not() -> None:
    """Banner, identity, code, number of the sheet and what it is not stand on each."""
    sheets = as_text(page_of(*(Words(f"line {n}") for n in range(100)))).split(FEED)
    said = [BANNER, "ledger 11, entry 2", "abab-abab-abab-abab", "ab" * 32, "no permission"]

    assert len(sheets) > 2
    for number, sheet in enumerate(sheets, start=1):
        assert [s for s in said if s not in " ".join(sheet.split("\n"))] == []
        assert f"page {number} of {len(sheets)}" in sheet


def test_what_is_not_real_and_what_is_filled_in_stand_on_each_sheet() -> None:
    """On a form of an invented club the mark takes no line from what tells the sheets apart."""
    page = page_of(*(Words(f"line {n}") for n in range(100)))
    both = replace(page, head="INVENTED", to_fill=(("Begun:", 5),))
    first, *others = as_text(both).split(FEED)

    assert {len(sheet.rstrip("\n").split("\n")) for sheet in (first, *others)} == {60}
    assert all(sheet.splitlines()[1] == "INVENTED" for sheet in (first, *others))
    assert all(sheet.splitlines()[2].startswith("Begun: ____") for sheet in others)
    assert others


@pytest.mark.parametrize("draw", [as_text, as_sentences])
def test_nothing_is_lost(draw: object) -> None:
    """Every word of every block stands in the text and in the sentences."""
    words = [f"word{n}" for n in range(400)]
    page = page_of(*(Words(w) for w in words), Grid(("h1", "h2"), (("c1", "c2"),), (1, 1)))
    text = draw(page)  # type: ignore[operator]  # one of the two functions above

    assert [w for w in [*words, "h1", "h2", "c1", "c2"] if w not in text] == []


@pytest.mark.parametrize("draw", [as_text, as_sentences])
def test_text_is_inert(draw: object) -> None:
    """No control character of a text reaches the page, only its number does."""
    text = draw(page_of(*every_block(ODD), title=ODD))  # type: ignore[operator]  # as above

    assert {c for c in text if not c.isprintable()} <= {"\n", FEED}
    assert "\u202e" not in text
    assert "<U+202E>" in text


def test_what_belongs_together_stays_so() -> None:
    """A block that fits one sheet is not cut in two by its end."""
    filling = [Words(f"line {n}") for n in range(20)]
    together = Together(tuple(Words(f"kept {n}") for n in range(15)))
    sheets = as_text(page_of(*filling, together)).split(FEED)

    assert [sum(f"kept {n}" in sheet for n in range(15)) for sheet in sheets] == [0, 15]


def test_rows_of_a_table_are_not_cut_in_two() -> None:
    """A row goes onto the next sheet whole, and there the head of its table stands again."""
    rows = tuple((f"row {n}", "\n".join(f"line {n}.{k}" for k in range(7))) for n in range(20))
    sheets = as_text(page_of(Grid(("name", "said"), rows, (1, 1)))).split(FEED)
    seen = [[n for n in range(20) if f"line {n}.{k}" in sheet] for sheet in sheets for k in (0, 6)]

    assert len(sheets) > 2
    assert seen[::2] == seen[1::2]
    assert all("name" in sheet and "said" in sheet for sheet in sheets)


def test_every_field_has_room_to_write() -> None:
    """Behind each label of a form stand enough columns for a time and initials."""
    fields = (("Evidence:", 5), ("Time", 3), ("Initials", 2), ("Again: answer, time, initials", 4))
    lines = block_lines(Blanks(fields))
    blanks = [len(run) for line in lines for run in re.findall("_+", line)]

    assert len(blanks) == len(fields)
    assert min(blanks) >= 12
    assert max(map(len, lines)) <= WIDTH


def test_sentences_draw_nothing() -> None:
    """In words a picture is its title and legend, and a row of a table names its columns."""
    picture = Drawn("Falls", SVG, ("+---+", "|xo |"), ("o is the mast",))
    text = as_sentences(page_of(picture, Grid(("point", "lock"), (("mast", "9"),), (1, 1))))

    assert "Picture: Falls.\no is the mast.\n" in text
    assert "point: mast; lock: 9." in text
    assert "+---+" not in text


def test_wrapping_loses_no_character() -> None:
    """A word longer than the line is broken, and all of it stands."""
    assert "".join(wrap("a " + LONG, 80)) == "a" + LONG

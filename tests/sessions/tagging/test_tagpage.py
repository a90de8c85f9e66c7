"""The page of a tag: large enough, whole, and inert whatever stands on the tag."""

from __future__ import annotations

import re
import unicodedata
from datetime import UTC, datetime
from pathlib import Path
from xml.etree import ElementTree

import pytest

from checklist.caution import BANNER
from checklist.errors import StandclearError
from checklist.record.ledgers.tags import Tag
from checklist.sessions.tagging.bigletters import PER_LINE, WIDTH, big
from checklist.sessions.tagging.tagpage import (
    LEGEND,
    Paper,
    page_for,
    svg_page,
    text_page,
    write_page,
)
from tests.rulefile.making import book

LINES_OF_A_PAGE = 66
"""Six to the inch on 11-inch paper; common practice, no source."""

PLAIN = Tag(
    "ab" * 16,
    "cd" * 16,
    "breaker 14",
    "5",
    "Wren Holloway",
    datetime(2026, 11, 25, 9, 41, tzinfo=UTC),
    "Before tower or antenna work",
    datetime(2026, 11, 25, 17, 41, tzinfo=UTC),
    "channel 7",
)
ODD_NAMES = [
    "Zoë O’Hara-Łukasz",
    '<script>alert(1)</script> & "x" \']]>',
    "名前 山田太郎",
    "x" * 80,
    "Wren " * 16,
]


def named(text: str) -> Tag:
    return Tag("ab" * 16, "cd" * 16, text, text[:20], text, PLAIN.since, text, None, text)


def size_in_mm(text: ElementTree.Element) -> float:
    return float(text.attrib["font-size"])


def place_of(text: ElementTree.Element) -> list[float]:
    """Return across and down in millimetres, and how far the letters are squeezed."""
    return [float(n) for n in re.findall(r"[0-9.]+", text.attrib["transform"])]


def width_of(text: ElementTree.Element) -> float:
    """Return the width of a line in a font whose letters are 0.6 of its size, wide ones double."""
    wide = (2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text.text or "")
    squeeze = place_of(text)[2] if "scale" in text.attrib["transform"] else 1.0
    return sum(wide) * 0.6 * size_in_mm(text) * squeeze


def texts(svg: str) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(svg)  # noqa: S314  # made by this program a line above
    return list(root.iter("{http://www.w3.org/2000/svg}text"))


def needed_mm() -> float:
    """Return the height of capitals at two metres: 5/8 in, and 1/8 in for each foot beyond 72 in.

    2010 ADA Standards, table 703.5.5; from memory, unverified.
    """
    beyond_feet = (2000 / 25.4 - 72) / 12
    return (5 / 8 + beyond_feet / 8) * 25.4


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_applier_and_point_are_read_at_two_metres(paper: Paper) -> None:
    """Legend, point, name and lock stand in capitals of the published height or more."""
    found = texts(svg_page(PLAIN, book(), paper))
    cap = 0.7  # least height of capitals among common sans serif fonts, as a share of the size
    large = [t.text for t in found if size_in_mm(t) * cap >= needed_mm() - 0.5]

    assert large == [LEGEND, "breaker 14", "Wren Holloway", "LOCK 5"]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", ["Wren Holloway", *ODD_NAMES])
def test_picture_is_one_page_and_well_formed(name: str, paper: Paper) -> None:
    """Whatever the tag says, every line lies inside the paper and no text becomes markup."""
    svg = svg_page(named(name), book(), paper)
    root = ElementTree.fromstring(svg)  # noqa: S314  # made by this program a line above
    width, height = (float(root.attrib[n].removesuffix("mm")) for n in ("width", "height"))

    assert {child.tag.rpartition("}")[2] for child in root} == {"rect", "text"}
    assert all(place_of(t)[1] < height - 3 for t in texts(svg))
    assert all(place_of(t)[0] + width_of(t) < width for t in texts(svg))
    assert any(BANNER in (t.text or "") for t in texts(svg))


def test_picture_is_the_same_every_time() -> None:
    """Two pages of one tag are equal, byte for byte."""
    assert svg_page(PLAIN, book()) == svg_page(PLAIN, book())


@pytest.mark.parametrize("name", ["Wren Holloway", *ODD_NAMES])
def test_text_fits_one_page(name: str) -> None:
    """The page of text has 80 columns and 66 lines at most, and the name stands on it."""
    lines = text_page(named(name)).splitlines()

    assert len(lines) <= LINES_OF_A_PAGE
    assert max(map(len, lines)) <= max(WIDTH, len(f">>> {name} <<<"))
    assert name.split()[0][:70] in " ".join(lines)


def test_big_letters_are_five_lines_high() -> None:
    """At 6 lines to the inch a letter is 21 mm high, more than is needed at two metres."""
    lines = big("LOCK 5", 1)

    assert len(lines) == 5
    assert needed_mm() < 5 / 6 * 25.4
    assert max(map(len, big("W" * PER_LINE, 1))) <= WIDTH


def test_big_letters_differ() -> None:
    """No two drawn letters look alike, and accents fall away."""
    drawn = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.,'/&#(+:_"

    assert len({"\n".join(big(c, 1)) for c in drawn}) == len(drawn)
    assert big("zoë", 1) == big("ZOE", 1)


def test_what_cannot_be_drawn_stands_small() -> None:
    """A name in another script is printed as it is, not left out."""
    assert big("名前", 2) == [">>> 名前 <<<"]


def test_page_says_that_the_lock_decides() -> None:
    """Both forms of the page say so, and name the applier as the only one to take it off."""
    for page in (text_page(PLAIN), svg_page(PLAIN, book())):
        flat = re.sub(r"<[^>]*>|\s+", " ", page)

        assert "The lock at the point decides, not this paper." in " ".join(flat.split())
        assert "Only Wren Holloway takes this lock off." in " ".join(flat.split())


def test_file_is_never_replaced(tmp_path: Path) -> None:
    """A page goes into a new file; one that is there stays, and another ending is refused."""
    path = tmp_path / "tag.svg"
    write_page(path, page_for(PLAIN, path, book()))

    with pytest.raises(StandclearError, match="there already"):
        write_page(path, "x")
    with pytest.raises(StandclearError, match="neither"):
        page_for(PLAIN, tmp_path / "tag.pdf", book())

    assert path.read_text(encoding="utf-8").startswith("<svg")

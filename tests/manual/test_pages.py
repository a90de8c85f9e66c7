"""The pages of the manual: their pictures, links, commands, and the banner."""

from __future__ import annotations

import re
from functools import cache

import pytest

from checklist.caution import BANNER
from checklist.commands.typed.program import standclear
from checklist.demo.club import Club
from checklist.helppages import MANUAL, anchor, laid_out, page_names, page_text
from tests.manual.generated import GENERATED
from tests.manual.shots import DRAWN, SHOTS, block, marked, shots, svg_file

PAGES = page_names()
WRITTEN = tuple(name for name in PAGES if name != "numbers")
"""The page on the numbers is written by the program, and tested beside the calculations."""

LISTS = {*GENERATED, "threats", "changes"}
"""Pages to look something up in, and not to read from top to bottom."""


@cache
def heads_of(page: str) -> frozenset[str]:
    """Return the names of a page's headings; a long page is laid out once for all its links."""
    return frozenset(laid_out(page, 78).headings)


async def test_the_pictures_show_what_the_program_shows(
    club: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each picture in a page is, character for character, what the screen shows today."""
    monkeypatch.chdir(club.folder.parent)
    made = await shots(club)
    pages = {page: page_text(page) for page in PAGES}
    unshown = [name for name in SHOTS if not any(marked(name) in text for text in pages.values())]
    stale = [
        f"{name} in {page}"
        for name, picture in made.items()
        for page, text in pages.items()
        if marked(name) in text and block(name, picture.text) not in text
    ]
    stale_drawings = [
        name
        for name in DRAWN
        if _words(svg_file(name).read_text("utf-8")) != _words(made[name].svg)
    ]

    assert made.keys() == SHOTS.keys()
    assert all(len(picture.text.splitlines()) == 24 for picture in made.values())
    assert unshown == []
    assert (stale, stale_drawings) == ([], []), (
        "write the pictures anew: python -m tests.manual.writing_pictures"
    )


def test_no_page_names_a_picture_that_is_not_made() -> None:
    """A mark for a picture is the mark of one that the suite makes, so that none grows old."""
    marks = {
        name for page in PAGES for name in re.findall(r"<!-- picture: (.*?) -->", page_text(page))
    }

    assert marks == SHOTS.keys()


def _words(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


@pytest.mark.parametrize("name", WRITTEN)
def test_a_page_begins_with_the_banner_and_is_short(name: str) -> None:
    """Under its title every page says that code and electricians prevail; a task is soon read."""
    text = page_text(name)
    lines = text.splitlines()
    words = re.sub(r"```text.*?```", "", text, flags=re.DOTALL).split()

    assert lines[0].startswith("# ")
    assert BANNER in " ".join(lines[1:6])
    assert len(words) <= (1_200 if name in LISTS else 750)


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_somewhere(name: str) -> None:
    """Every link names a page that exists and a heading on it, or a file of the checkout."""
    for target in re.findall(r"\]\(([^)\s]+)\)", page_text(name)):
        file, _, heading = target.partition("#")
        if target.startswith("http"):
            continue
        path = MANUAL / file if file else MANUAL / f"{name}.md"

        assert path.is_file(), target

        if heading and path.parent == MANUAL:
            assert heading in heads_of(path.stem), target


@pytest.mark.parametrize("width", [40, 80, 130])
@pytest.mark.parametrize("name", PAGES)
def test_a_page_loses_no_word_when_it_is_laid_out(name: str, width: int) -> None:
    """Each word of a page stands in its lines at every width, and lines fit where words do."""
    page = laid_out(name, width)
    said = re.sub(r"[*`#]", "", " ".join(page.lines))
    words = set(said.split())
    text = re.sub(r"<!--.*?-->|^```.*$|<a id.*?</a>", "", page_text(name), flags=re.MULTILINE)
    text = re.sub(r"\[([^\]]+)\]\(\s*[^)\s]+\)", r"\1", text)
    text = re.sub(r"\\(.)", r"\1", text)
    lost = {word for word in re.sub(r"[*`#]", "", text).split() if word not in words}

    assert [word for word in lost if word not in said] == []


@pytest.mark.parametrize("name", PAGES)
def test_links_of_a_laid_out_page_stand_where_they_are_marked(name: str) -> None:
    """The columns of a link hold its words, and its page and heading exist."""
    page = laid_out(name, 78)
    for link in page.links:
        assert page.lines[link.line][link.start : link.end].strip()
        assert link.page in PAGES
        assert not link.heading or link.heading in heads_of(link.page)


def test_every_command_is_told_in_the_page_on_the_shell() -> None:
    """No command of the program is missing on the page that lists them all."""
    told = page_text("shell")
    missing = [name for name in standclear.commands if f"standclear {name}" not in told]

    assert missing == []
    assert anchor("From the shell") in laid_out("shell", 78).headings


@pytest.mark.parametrize("name", GENERATED)
def test_a_list_names_what_the_program_has(name: str) -> None:
    """The pages on keys and commands are, word for word, made from bindings and commands."""
    made = GENERATED[name]()

    assert page_text(name) == made, "write them anew: python -m tests.manual.writing_pictures"

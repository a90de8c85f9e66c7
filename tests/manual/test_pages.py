"""The pages of the manual: their pictures, links, commands, and the banner."""

from __future__ import annotations

import re
import shlex

import click
import pytest

from checklist.caution import BANNER
from checklist.commands.line import standclear
from checklist.demo.club import Club
from checklist.helppages import MANUAL, anchor, laid_out, page_names, page_text
from tests.manual.generated import GENERATED
from tests.manual.shots import DRAWN, SHOTS, block, marked, shot, svg_file

PAGES = page_names()
WRITTEN = tuple(name for name in PAGES if name != "numbers")
"""The page on the numbers is written by the program, and tested beside the calculations."""

_COMMAND = re.compile(r"^ {4}standclear(.*)$|^\$ standclear(.*)$", re.MULTILINE)


def commands_in(page: str) -> list[str]:
    return [a or b for a, b in _COMMAND.findall(page_text(page))]


@pytest.mark.parametrize("name", SHOTS)
async def test_a_picture_shows_what_the_program_shows(club: Club, name: str) -> None:
    """Each picture in a page is, character for character, what the screen shows today."""
    made = await shot(club, name)
    pages = [page for page in PAGES if marked(name) in page_text(page)]

    assert pages, f"no page shows the picture {name!r}"

    for page in pages:
        assert block(name, made.text) in page_text(page), (
            "write the pictures anew: python -m tests.manual.writing_pictures"
        )

    assert len(made.text.splitlines()) == 24

    if name in DRAWN:
        assert _words(svg_file(name).read_text("utf-8")) == _words(made.svg)


def _words(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


@pytest.mark.parametrize("name", WRITTEN)
def test_a_page_begins_with_the_banner_and_is_short(name: str) -> None:
    """Under its title every page says that code and electricians prevail."""
    lines = page_text(name).splitlines()

    assert lines[0].startswith("# ")
    assert BANNER in " ".join(lines[1:6])


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
            heads = laid_out(path.stem, 78).headings

            assert heading in heads, target


@pytest.mark.parametrize(
    ("page", "line"), [(page, line) for page in PAGES for line in commands_in(page)]
)
def test_a_command_in_a_page_exists(page: str, line: str) -> None:
    """Every `standclear ...` line names a command, and options it has."""
    words = shlex.split(line, comments=True)
    group: click.Command = standclear
    at = 0
    while at < len(words):
        word = words[at]
        if word.startswith("--"):
            names = {name for one in group.params for name in one.opts}

            assert word in names | {"--plain", "--help"}, f"{page}: {line}"

            takes = next((p for p in group.params if word in p.opts), None)
            at += 1 if takes is None or getattr(takes, "is_flag", False) else 2
        elif isinstance(group, click.Group):
            assert word in group.commands, f"{page}: {line}"

            group, at = group.commands[word], at + 1
        else:
            at += 1


@pytest.mark.parametrize("width", [40, 80, 130])
@pytest.mark.parametrize("name", PAGES)
def test_a_page_loses_no_word_when_it_is_laid_out(name: str, width: int) -> None:
    """Each word of a page stands in its lines at every width, and lines fit where words do."""
    page = laid_out(name, width)
    said = " ".join(page.lines)
    text = re.sub(r"<!--.*?-->|^```.*$|<a id.*?</a>", "", page_text(name), flags=re.MULTILINE)
    text = re.sub(r"\[([^\]]+)\]\(\s*[^)\s]+\)", r"\1", text)
    for word in re.sub(r"[*`#]", "", text).split():
        assert word in re.sub(r"[*`#]", "", said), word


@pytest.mark.parametrize("name", PAGES)
def test_links_of_a_laid_out_page_stand_where_they_are_marked(name: str) -> None:
    """The columns of a link hold its words, and its page and heading exist."""
    page = laid_out(name, 78)
    for link in page.links:
        assert page.lines[link.line][link.start : link.end].strip()
        assert link.page in PAGES
        assert not link.heading or link.heading in laid_out(link.page, 78).headings


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

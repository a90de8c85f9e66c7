"""The pages of the manual: which there are, and one laid out as lines of a width."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from checklist.errors import StandclearError

MANUAL = Path(__file__).resolve().parent / "manual"
FIRST_PAGE = "contents"

_LINK = re.compile(r"\[([^\]\n]+)\]\(([^)\s]+)\)")
_NAMED = re.compile(r'<a id="([^"]+)"></a>\s*')
_EMPHASIS = re.compile(r"\*{1,2}([^*\n]+)\*{1,2}|`([^`]+)`")
_ITEM = re.compile(r"^(\s*)([-*]|\d+\.) ")
_OPEN, _CLOSE = "\x01", "\x02"
_KEEP = "\xa0"
_ESCAPED = re.compile(r"\\([\\*_`\[\]<|+-])")
_ASIDE = 0xE000
"""Where a mark that is to be read as it stands waits until the other marks are taken out."""


_BACK = {_ASIDE + ord(mark): mark for mark in "\\*_`[]<|+-"}


@dataclass(frozen=True, slots=True)
class Link:
    """Where a link stands in the lines, and the page or heading it leads to."""

    line: int
    start: int
    end: int
    page: str
    heading: str


@dataclass(slots=True)
class LaidOut:
    """A page as lines: headings by their words, links in reading order."""

    title: str = ""
    lines: list[str] = field(default_factory=list)
    headings: dict[str, int] = field(default_factory=dict)
    links: list[Link] = field(default_factory=list)
    heads: set[int] = field(default_factory=set)


def page_names() -> tuple[str, ...]:
    """Return the pages in the order of the contents, those it does not name behind."""
    found = {path.stem for path in MANUAL.glob("*.md")}
    named = [Path(target).stem for _, target in _LINK.findall(page_text(FIRST_PAGE))]
    return tuple(dict.fromkeys([FIRST_PAGE, *(n for n in named if n in found), *sorted(found)]))


def page_text(name: str) -> str:
    """Return a page as it is written; raise StandclearError where there is none of that name."""
    known = sorted(path.stem for path in MANUAL.glob("*.md"))
    if name not in known:
        raise StandclearError(
            f"the manual has no page {name[:40]!r}", right=f"It has: {', '.join(known)}."
        )
    return (MANUAL / f"{name}.md").read_text("utf-8")


def anchor(words: str) -> str:
    """Return the name under which a link finds a heading."""
    return "-".join(re.sub(r"[^\w\s-]", "", words.lower()).split())


def laid_out(name: str, width: int, *, drawn: bool = True) -> LaidOut:
    """Return a page wrapped to `width` columns, pictures of screens kept as they are.

    Without `drawn` each picture is left out, and a line says so. Raises StandclearError where
    there is no page of that name.
    """
    page = LaidOut()
    for is_head, is_kept, text in _blocks(page_text(name), drawn=drawn):
        if is_head:
            named, text = _NAMED.match(text), _ESCAPED.sub(r"\1", _NAMED.sub("", text))
            page.title = page.title or text
            page.headings.setdefault(named[1] if named else anchor(text), len(page.lines))
            page.heads.add(len(page.lines))
        for line in [text] if is_kept else _wrapped(text, width):
            _put(page, line, name)
    return page


def _blocks(text: str, *, drawn: bool) -> Iterator[tuple[bool, bool, str]]:
    """Yield (is a heading, is kept as it is, text) for each block of a page."""
    gathered: list[str] = []
    is_fenced = is_picture = False

    for line in text.splitlines():
        if line.startswith("```"):
            yield from _paragraph(gathered)
            is_fenced = not is_fenced
        elif is_fenced:
            if drawn or not is_picture:
                yield False, True, line
        elif line.startswith("<!--"):
            yield from _paragraph(gathered)
            is_picture = line.startswith("<!-- picture:")
            if is_picture and not drawn:
                yield False, True, "Here the page shows a picture of the screen."
        elif (block := _whole(line, within=bool(gathered))) is not None:
            yield from _paragraph(gathered)
            yield block
        else:
            if _ITEM.match(line):
                yield from _paragraph(gathered)
            gathered.append(line)
    yield from _paragraph(gathered)


def _paragraph(gathered: list[str]) -> Iterator[tuple[bool, bool, str]]:
    """Yield the lines gathered so far as one block, and gather anew."""
    if gathered:
        yield False, False, "\n".join(gathered)
        gathered.clear()


def _whole(line: str, *, within: bool) -> tuple[bool, bool, str] | None:
    """Return the block that a line is by itself; None where it is part of a paragraph."""
    if line.startswith("#"):
        return True, True, line.lstrip("#").strip()
    if not line.strip():
        return False, True, ""
    is_kept = line.startswith("|") or (line.startswith("    ") and not within)
    return (False, True, line) if is_kept else None


def _wrapped(text: str, width: int) -> list[str]:
    item = _ITEM.match(text)
    indent = " " * (len(item.group(0)) if item else 0)
    text = _ESCAPED.sub(lambda m: chr(_ASIDE + ord(m[1])), text)
    # A link stays on one line, so that it can be marked as one piece.
    text = re.sub(r"\]\(\s+", "](", text)
    marked = re.sub(
        r"\[([^\]]+)\]\(([^)\s]+)\)",
        lambda m: f"[{_KEEP.join(m[1].split())}]({m[2]})",
        text,
    )
    targets = [m[2] for m in _LINK.finditer(marked)]
    short = _LINK.sub(lambda m: f"{_OPEN}{m[1]}{_CLOSE}", marked)
    # Not str.split: it would part a link where a space was made one that stays.
    short = re.sub(r"[ \n]+", " ", short.strip(" \n"))
    short = _EMPHASIS.sub(lambda m: m[1] or m[2], short)
    lines = textwrap.wrap(
        item.group(1) + short if item else short,
        width,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    pieces = iter(targets)
    linked = [re.sub(_CLOSE, lambda _: f"{_CLOSE}{next(pieces)}{_CLOSE}", line) for line in lines]
    return [line.translate(_BACK) for line in linked]


def _put(page: LaidOut, line: str, name: str) -> None:
    """Add one line, its links noted and their marks taken out."""
    shown, at = "", 0
    for found in re.finditer(f"{_OPEN}([^{_CLOSE}]*){_CLOSE}([^{_CLOSE}]*){_CLOSE}", line):
        shown += line[at : found.start()]
        words, target = found[1].replace(_KEEP, " "), found[2]
        file, _, heading = target.partition("#")
        stem = Path(file).stem if file else name
        if "/" not in file and (MANUAL / f"{stem}.md").is_file():
            start = len(shown)
            page.links.append(Link(len(page.lines), start, start + len(words), stem, heading))
        shown += words
        at = found.end()
    page.lines.append((shown + line[at:]).replace(_KEEP, " ").rstrip())

"""Sets a page as PDF by one fixed template; the same page gives the same bytes everywhere."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from checklist.errors import StandclearError
from checklist.pages.page import Grid, Page, Paper
from checklist.pages.textcells import cut
from checklist.plaintext import shown

TEMPLATE = Path(__file__).with_name("page.typ")
HOW_TO = "For a PDF, install the typesetter once: .venv/bin/pip install -e '.[pages]'"
LACKING = "What this page's fonts cannot draw stands as <U+...>, the number of the character."

_STANDARD = "a-2b"
"""PDF/A-2b, ISO 19005-2: to be read in decades. It also refuses what no font here can draw."""

_BESIDE_BLANKS = 36
"""Columns of the title that stay clear of the lines to write on at the head of a sheet."""

_LONGEST_WORD = 66
_ROW_CHARACTERS = 84
_REFUSED = re.compile(r'the text `"(.*?)"` could not be displayed', re.DOTALL)
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")
_LAST_ASCII = 0x7E
_INVISIBLE = "\N{NO-BREAK SPACE}\u200b\u200c\u200d"
_PROBE = b"""
#set document(date: datetime(year: 2000, month: 1, day: 1))
#set text(font: ("Libertinus Serif", "DejaVu Sans Mono"))
#for one in json(bytes(sys.inputs.page)) { text(one); parbreak() }
"""
"""Sets single characters, each in a paragraph of its own."""


class TypesetterMissing(StandclearError):
    """The optional extra that makes PDF is not installed."""


def as_pdf(page: Page, paper: Paper = "letter") -> bytes:
    """Return the page as PDF/A-2b on `paper`.

    Fonts are those inside the typesetter, no others, and the date in the file is a fixed one,
    so that two machines make the same bytes. What no font there can draw is written out by its
    code point. Raises TypesetterMissing without the extra, and StandclearError where the page
    cannot be set.
    """
    try:
        import typst
    except ImportError:
        raise TypesetterMissing("the typesetter for PDF is not installed", right=HOW_TO) from None
    data = page_data(page)
    lacking = _lacking(typst, json.dumps(data, ensure_ascii=False))
    try:
        return _set(typst, TEMPLATE.read_bytes(), _written_out(data, lacking), paper)
    except typst.TypstError as error:
        raise StandclearError(
            f"the page cannot be set ({shown(error.message)[:200]})",
            right="Print it as text: --text.",
        ) from None


def page_data(page: Page) -> dict[str, Any]:
    """Return the page as data for the template: every text in it safe to show, long words broken.

    A zero-width space marks where a long word may be broken; nothing else is put in.
    """
    data: dict[str, Any] = _data(page)
    title = shown(page.title)
    data["running"] = cut(title, _BESIDE_BLANKS) if page.to_fill else title
    return data


def _set(typst: Any, template: bytes, data: Any, paper: Paper) -> bytes:
    made = typst.compile(
        template,
        format="pdf",
        sys_inputs={"page": json.dumps(data, ensure_ascii=True), "paper": paper},
        ignore_system_fonts=True,
        pdf_standards=_STANDARD,
    )
    return bytes(made)


def _lacking(typst: Any, text: str) -> set[str]:
    """Return every character outside ASCII that no font of the typesetter can draw.

    Asked of the typesetter itself, which for this form of PDF names what it cannot draw.
    """
    odd = sorted({c for c in text if ord(c) > _LAST_ASCII and c not in _INVISIBLE})
    lacking: set[str] = set()
    while odd:
        try:
            _set(typst, _PROBE, odd, "a4")
        except typst.TypstError as error:
            found = _named(f"{error.message}\n{error.diagnostic}") & set(odd)
            found = found or set(odd)  # a refusal that names none of them is about all of them
            lacking |= found
            odd = [c for c in odd if c not in found]
        else:
            break
    return lacking


def _named(said: str) -> set[str]:
    found: set[str] = set()
    for text in _REFUSED.findall(said):
        found |= {chr(int(code, 16)) for code in _ESCAPED.findall(text)} | set(text)
    return found


def _written_out(data: dict[str, Any], lacking: set[str]) -> dict[str, Any]:
    if not lacking:
        return data
    table = {ord(c): f"<U+{ord(c):04X}>" for c in lacking}
    changed: dict[str, Any] = _translated(data, table)
    return {**changed, "cautions": [*changed["cautions"], LACKING]}


def _translated(value: Any, table: dict[int, str]) -> Any:
    match value:
        case str():
            return value.translate(table)
        case list():
            return [_translated(one, table) for one in value]
        case dict():
            return {
                name: one.translate({c: escape(said) for c, said in table.items()})
                if name == "svg"
                else _translated(one, table)
                for name, one in value.items()
            }
        case _:
            return value


def _data(thing: Any) -> Any:
    """Return a description as lists and mappings; the SVG is ours and passes as it is."""
    match thing:
        case str():
            return _breakable(shown(thing, lines=True), _LONGEST_WORD)
        case bool() | int() | float():
            return thing
        case tuple() | list():
            return [_data(one) for one in thing]
        case Grid(head=head, rows=rows, shares=shares, is_roomy=is_roomy):
            widest = [max(6, _ROW_CHARACTERS * share // sum(shares)) for share in shares]
            cells = [_cells(row, widest) for row in (head, *rows)]
            return {
                "kind": "Grid", "head": cells[0], "rows": cells[1:],
                "shares": list(shares), "is_roomy": is_roomy,
            }  # fmt: skip
        case _:
            found = {
                field.name: getattr(thing, field.name)
                if field.name == "svg"
                else _data(getattr(thing, field.name))
                for field in fields(thing)
            }
            return {"kind": type(thing).__name__, **found}


def _cells(row: Sequence[str], widest: Sequence[int]) -> list[str]:
    return [_breakable(shown(c, lines=True), w) for c, w in zip(row, widest, strict=False)]


def _breakable(text: str, longest: int) -> str:
    if all(len(word) <= longest for word in text.split()):
        return text
    size = min(longest, 12)
    return " ".join(
        "\u200b".join(word[at : at + size] for at in range(0, len(word), size))
        if len(word) > longest
        else word
        for word in text.split(" ")
    )

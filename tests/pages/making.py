"""Pages for tests: a block of every kind, and texts that would act if they could."""

from __future__ import annotations

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

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="10mm">'
    '<rect width="9" height="9"/></svg>'
)
ODD = (
    '#import "/etc/passwd": * $x^2$ *bold* _i_ `raw` @ref <label> #panic("x") \\ // c /* */ '
    "= h - l + e ~ --- ... [/x] %s {0} \u202eevil\u202c \x1b[31m \x00 名前 \U0001f600 Zoë"
)
"""Markup of the typesetter and of terminals, controls, and characters that few fonts have."""

SHOWN_ODD = (
    '#import "/etc/passwd": * $x^2$ *bold* _i_ `raw` @ref <label> #panic("x") \\ // c /* */ '
    "= h - l + e ~ --- ... [/x] %s {0} <U+202E>evil<U+202C> <U+001B>[31m <U+0000>"
)
"""The beginning of `ODD` as it must stand on paper, character for character."""

LONG = "x" * 5000


def every_block(text: str) -> tuple[Block, ...]:
    """Return a block of every kind with the text wherever a text can stand."""
    return (
        Heading(text),
        Words(text),
        Words(text, "loud"),
        Listed((text, text)),
        Listed((text,), is_numbered=True, weight="small"),
        Labelled(((text, text),)),
        Grid((text, "b"), ((text, text),), (1, 3)),
        Drawn(text, SVG, (text[:60],), (text,)),
        Fixed((text[:60],)),
        Ticks((text,)),
        Ticks((text,), is_across=False),
        WriteOn(text, lines=2),
        Blanks((("time", 1), ("initials", 2))),
        Signing((text,)),
        NewPage(),
        Together((Words(text),), is_boxed=True),
    )


def page_of(*blocks: Block, title: str = "A page") -> Page:
    """Return a page that holds the blocks."""
    identity = Identity("Session 00, ledger 11, entry 2", "ab" * 32, "abab-abab-abab-abab")
    return Page(title, "for tests", identity, "This page is no permission.", blocks)

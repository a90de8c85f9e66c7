"""What a command prints: whole lines for people, or one JSON document for scripts."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress
from contextvars import ContextVar
from pathlib import Path
from typing import Any, TextIO

from checklist.caution import BANNER, US_RULES
from checklist.commands.spoken import spoken
from checklist.commands.wishes import PLAIN_OPTION, wishes_plain
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.sessions.invented import mark_for

_plain: ContextVar[bool] = ContextVar("plain", default=False)
_mark: ContextVar[str] = ContextVar("mark", default="")


class ReaderGone(Exception):
    """Nobody reads the output any more; nothing is wrong with it."""


def settle_plain(arguments: Iterable[str], environment: Mapping[str, str]) -> list[str]:
    """Heed the wish for plain text, and return the arguments without it.

    It may stand anywhere on the line but behind `--`, where words are only words.
    """
    given = list(arguments)
    end = given.index("--") if "--" in given else len(given)
    words = [word for word in given[:end] if word != PLAIN_OPTION]
    _plain.set(wishes_plain(environment) or len(words) < end)
    _mark.set("")
    return words + given[end:]


def is_plain() -> bool:
    """Say whether text is wanted that a screen reader reads well, with nothing drawn."""
    return _plain.get()


def mark_output(*logs: Path) -> None:
    """Let what is printed say so first, where one of the folders is an invented club's."""
    _mark.set(mark_for(*logs))


def print_page(lines: Iterable[str]) -> None:
    """Print the lines, harmful characters written out, and the caution once below them."""
    mark = [_mark.get()] if _mark.get() else []
    rows = [*mark, *(shown(line, lines=True) for line in _told(lines))]
    while rows and rows[-1] in {"", BANNER}:
        rows.pop()
    _write("\n".join([*rows, "", BANNER, US_RULES, ""]))


def print_lines(lines: Iterable[str]) -> None:
    """Print the lines with nothing below them, as in the middle of asking."""
    _write("".join(f"{shown(line, lines=True)}\n" for line in _told(lines)))


def print_sheets(text: str) -> None:
    """Print a page that is already laid out, cautions and all; sheets end in a form feed."""
    _write(text)


def print_document(data: Mapping[str, Any]) -> None:
    """Print `data` with the caution in it as one JSON document.

    Everything outside ASCII is written by its code point, so that no text in it can act on a
    terminal and no encoding can spoil it.
    """
    import json  # late: the screens print none

    mark = {"invented": _mark.get()} if _mark.get() else {}
    _write(json.dumps({**mark, **data, "caution": f"{BANNER} {US_RULES}"}, indent=2) + "\n")


def print_bare(data: Mapping[str, Any]) -> None:
    """Print `data` as a JSON document with nothing added: its format is not ours to add to."""
    import json

    _write(json.dumps(data, indent=2) + "\n")


def _told(lines: Iterable[str]) -> Iterable[str]:
    return spoken(lines) if is_plain() else lines


def print_error(sentence: str) -> None:
    """Print one sentence (or one for each error) to stderr, harmful characters written out."""
    if sys.stderr is None:  # closed before the start; the number must do
        return
    with suppress(OSError):
        sys.stderr.write(f"standclear: {shown(sentence, lines=True)}\n")
        sys.stderr.flush()


def settle_encoding() -> None:
    """Let a terminal that lacks a character show its number instead of ending the program."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")


def _abandon_stdout() -> None:
    """Send what is still to be written nowhere: nobody reads it, or it cannot be written."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
    except (OSError, ValueError):  # stdout is no file, as under a test
        return


def _write(text: str) -> None:
    out: TextIO | None = sys.stdout
    if out is None:
        raise StandclearError("the output is closed", right="Leave it open.")
    try:
        out.write(text)
        out.flush()
    except BrokenPipeError:
        _abandon_stdout()
        raise ReaderGone from None  # no OSError, which click would end with a number of its own
    except OSError as error:
        _abandon_stdout()
        raise StandclearError(f"the output cannot be written ({error.strerror})") from None

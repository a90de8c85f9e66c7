"""Builds the invented club from the shell."""

from __future__ import annotations

import sys
from contextlib import suppress
from datetime import date
from pathlib import Path

from checklist.commands.exits import FINE
from checklist.commands.output import print_document, print_page
from checklist.demo.building import LAST_DAY, build
from checklist.demo.cast import PASSPHRASE
from checklist.demo.telling import PAGE
from checklist.errors import StandclearError

HOME = "hill"
"""The laptop that is opened first."""


def build_demo(folder: Path, seed: int, size: str, last_day: str, *, as_json: bool) -> int:
    """Build the club in `folder` and print how to look at it.

    Raises StandclearError for a folder that is not empty, or a last day that is none.
    """
    day = _day(last_day) if last_day else LAST_DAY
    club = build(folder, seed=seed, last_day=day, whole_year=size == "year", tell=_tell)
    logs = club.desks[HOME].logs
    if as_json:
        print_document(
            {
                "folder": str(club.folder),
                "seed": str(seed),
                "last-day": day.isoformat(),
                "passphrase": PASSPHRASE,
                "logs": {name: str(desk.logs) for name, desk in club.desks.items()},
                "sessions": dict(club.sessions),
            }
        )
    else:
        print_page(
            [
                f"An invented club stands in {club.folder}. Nothing in it is real.",
                f"Read {PAGE} there first: it says what is planted, and walks you through.",
                f"  standclear --logs {logs}",
                f"Every key opens with: {PASSPHRASE}",
            ]
        )
    return FINE


def _tell(done: int, of: int) -> None:
    """Say on stderr how far it is, where somebody looks on."""
    if sys.stderr is None or not sys.stderr.isatty():
        return
    with suppress(OSError):
        sys.stderr.write(f"\rstandclear: {done} of {of} days and doings" if done < of else "\r")
        sys.stderr.write("\x1b[K" if done == of else "")
        sys.stderr.flush()


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise StandclearError(
            f"{text[:40]!r} is no day", where="--last-day", right="Write it as 2026-11-21."
        ) from None

"""Builds the invented club in an empty folder."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from checklist.demo.cast import LAPTOPS, SEED
from checklist.demo.club import ZONE, Club, club_at
from checklist.demo.copies import COPIES, make_copies
from checklist.demo.diary import DAYS, diary
from checklist.demo.doing import happen
from checklist.demo.founding import found
from checklist.demo.telling import PAGE, page
from checklist.errors import StandclearError

LAST_DAY = date(2026, 11, 21)
"""The last day of the invented year, where no other is asked for."""

Tell = Callable[[int, int], object]
"""Hears how many happenings of how many are done; what it raises stops the building."""


def build(
    folder: Path,
    *,
    seed: int = SEED,
    last_day: date = LAST_DAY,
    whole_year: bool = True,
    tell: Tell = lambda done, of: None,
) -> Club:
    """Build the club in `folder`, which must be empty or not be there, and return it.

    The same seed, last day and folder give the same bytes in every log folder, but for the
    private key files: their encryption takes fresh salt. Raises StandclearError for a folder
    that is not empty or cannot be made, and whatever `tell` raises; nothing is then left there.
    """
    require_empty(folder)
    try:
        return _built(folder, seed, last_day, whole_year=whole_year, tell=tell)
    except BaseException:
        _take_away(folder)
        raise


def _built(folder: Path, seed: int, last_day: date, *, whole_year: bool, tell: Tell) -> Club:
    happenings = diary(whole_year=whole_year)
    tell(0, len(happenings))
    last = datetime(last_day.year, last_day.month, last_day.day, tzinfo=ZONE)
    club = club_at(folder.absolute(), seed, last, DAYS)
    found(club)
    for done, happening in enumerate(happenings, 1):
        happen(club, happening)
        tell(done, len(happenings))
    make_copies(club)
    text = page(club, whole_year=whole_year)
    (club.folder / PAGE).write_text(text, encoding="utf-8", newline="\n")
    return club


def _take_away(folder: Path) -> None:
    """Remove what was begun, and nothing else."""
    for name in (*(laptop.name for laptop in LAPTOPS), COPIES):
        shutil.rmtree(folder / name, ignore_errors=True)


def require_empty(folder: Path) -> None:
    """Refuse a folder in which something stands, and make one that is not there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        is_empty = next(folder.iterdir(), None) is None
    except OSError as problem:
        raise StandclearError(
            f"the folder cannot be made or read ({(problem.strerror or str(problem)).lower()})",
            where=str(folder),
            right="Name a new folder in a place of your own.",
        ) from None
    if not is_empty:
        raise StandclearError(
            "something stands in this folder", where=str(folder), right="Name a new or empty one."
        )

"""Writes a page into a new file: PDF where the typesetter is there, plain text where it is not."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from checklist.errors import StandclearError
from checklist.pages.page import Page, Paper
from checklist.pages.pdf import HOW_TO, TypesetterMissing, as_pdf
from checklist.pages.plaindraw import as_sentences
from checklist.pages.textdraw import as_text
from checklist.plaintext import shown
from checklist.record.files.disk import Disk
from checklist.record.files.whole import create_whole
from checklist.sessions.desk import Desk

Form = Literal["pdf", "text", "sentences"]

FOLDER = "pages"
"""Beside the log folder: where pages go that are printed from a screen."""

_ENDINGS = {".pdf", ".txt"}
_MOST_ALIKE = 999


@dataclass(frozen=True, slots=True)
class Written:
    """Where a page went, and a sentence for whoever asked for it."""

    path: Path
    says: str


def write_page(
    disk: Disk, page: Page, path: Path, *, paper: Paper = "letter", form: Form | None = None
) -> Written:
    """Write the page into the new file `path`, in the form that its ending names.

    `.pdf` becomes `.txt` where the typesetter is not installed, and the sentence says so.
    Raises StandclearError for another ending, and where a file is there or cannot be made.
    """
    if path.suffix.casefold() not in _ENDINGS:
        raise StandclearError(
            "the file's name ends in neither .pdf nor .txt", where=shown(str(path)),
            right="Name it so.",
        )  # fmt: skip
    says = ""
    wanted = form or ("pdf" if path.suffix.casefold() == ".pdf" else "text")
    try:
        data = page_bytes(page, wanted, paper)
    except TypesetterMissing:
        path = path.with_suffix(".txt")
        data = page_bytes(page, "text", paper)
        says = f" It is plain text, since the typesetter is not installed. {HOW_TO}"
    _create(disk, path, data)
    return Written(path, f"Written: {shown(str(path))}.{says}")


def page_bytes(page: Page, form: Form, paper: Paper = "letter") -> bytes:
    """Return the page as bytes in the form wanted; raises TypesetterMissing for PDF without it."""
    match form:
        case "pdf":
            return as_pdf(page, paper)
        case "text":
            return as_text(page).encode()
        case "sentences":
            return as_sentences(page).encode()


def print_for(desk: Desk, page: Page, name: str, paper: Paper = "letter") -> Written:
    """Write a page that was asked for on a screen, under a name that is still free.

    It goes into the folder `pages` beside the log folder. Raises StandclearError.
    """
    folder = desk.logs.parent / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StandclearError(
            f"the folder cannot be made ({(error.strerror or str(error)).lower()})",
            where=shown(str(folder)),
        ) from None
    day = f"{desk.clock.now():%Y-%m-%d}"
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:60] or "page"
    stem = f"{plain}-{day}"
    for number in range(1, _MOST_ALIKE):
        path = folder / f"{stem}{'' if number == 1 else f'-{number}'}.pdf"
        if not path.exists() and not path.with_suffix(".txt").exists():
            return write_page(desk.disk, page, path, paper=paper)
    raise StandclearError("there are too many pages of that name", where=shown(str(folder)))


def _create(disk: Disk, path: Path, data: bytes) -> None:
    try:
        create_whole(disk, path, data)
    except FileExistsError:
        raise StandclearError(
            "a file is there already", where=shown(str(path)), right="Name a new one."
        ) from None
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        raise StandclearError(f"it cannot be written ({why})", where=shown(str(path))) from None

"""Reads a station file that somebody named by its path; whatever is wrong is one sentence."""

from __future__ import annotations

import stat
from collections.abc import Collection
from pathlib import Path

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.rulebook import Book
from checklist.station import Known, Station, StationRefused, known_in, load_station

LARGEST = 4_000_000
"""Bytes of a station file that are read at all."""


class StationFileRefused(StandclearError):
    """A station file cannot be read, or is not right."""


class StationFileGone(StationFileRefused):
    """There is no file at the path, any more or yet."""


def station_path(text: str) -> Path:
    """Return the whole path that somebody typed, `~` meaning the home folder."""
    try:
        return Path(text).expanduser().absolute()
    except (RuntimeError, ValueError, OSError):
        raise StationFileRefused(
            "this is no path", where=shown(text), right="Write the path of the station file."
        ) from None


def station_bytes(path: Path) -> bytes:
    """Return what stands in the file; a folder, a device or a huge file is refused unread."""
    where = shown(path.name)
    try:
        facts = path.stat()
        if not stat.S_ISREG(facts.st_mode):
            raise StationFileRefused("this is no ordinary file", where=where)
        if facts.st_size > LARGEST:
            raise StationFileRefused(
                f"the file has {facts.st_size} bytes", where=where,
                right=f"At most {LARGEST} are read.",
            )  # fmt: skip
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise StationFileGone(
            "there is no such file", where=where, right="Check the path."
        ) from None
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or "the path cannot be used").lower()
        raise StationFileRefused(f"it cannot be read ({why})", where=where) from None


def station_in(
    data: bytes, name: str, book: Book | None = None, limit_sets: Collection[str] | None = None
) -> Station:
    """Return the station in the bytes; `name` is how sentences call the file.

    Modes and cables are looked up in `book`, limits in `limit_sets`, where these are given.
    Raises StationFileRefused with the first error and the count of the others.
    """
    try:
        return load_station(station_text(data, name), shown(name), _known(book, limit_sets))
    except StationRefused as refused:
        first, *rest = refused.errors
        more = f"standclear station check lists {len(rest)} more." if rest else ""
        raise StationFileRefused(first.rstrip("."), right=more) from None


def station_text(data: bytes, name: str) -> str:
    """Return the text of a station file; raises StationFileRefused where it is no UTF-8."""
    try:
        return data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        raise StationFileRefused(
            f"byte {error.start + 1} is no UTF-8 text", where=shown(name), right="Save it as UTF-8."
        ) from None


def _known(book: Book | None, limit_sets: Collection[str] | None) -> Known | None:
    return known_in(book, limit_sets) if book is not None else None

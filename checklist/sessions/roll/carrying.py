"""Files that people carry between laptops: requests, rosters, entries and receipts."""

from __future__ import annotations

import stat
from pathlib import Path

from checklist.errors import StandclearError
from checklist.plaintext import accept
from checklist.record.files.bundle import LARGEST_BUNDLE


def carried_path(text: str) -> Path:
    """Return the path that somebody typed, `~` meaning the home folder."""
    if not text.strip():
        raise StandclearError("no file is named", right="Name a file, such as ~/roster.txt.")
    clean = accept(text, field="file")
    try:
        return Path(clean).expanduser()
    except RuntimeError:
        raise StandclearError(
            "that home folder is not known", where=text[:60], right="Write the path out."
        ) from None


def read_carried(path: Path) -> bytes:
    """Return the bytes of an ordinary file; StandclearError for anything else or too large."""
    where = str(path)
    try:
        facts = path.stat()
        if not stat.S_ISREG(facts.st_mode):
            raise StandclearError("this is no ordinary file", where=where, right="Name the file.")
        if facts.st_size > LARGEST_BUNDLE:
            raise StandclearError(
                f"the file has {facts.st_size} bytes",
                where=where,
                right=f"At most {LARGEST_BUNDLE} are read.",
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise StandclearError("there is no such file", where=where) from None
    except OSError as problem:
        raise StandclearError(f"it cannot be read ({_reason(problem)})", where=where) from None


def is_folder(path: Path) -> bool:
    """Say whether a path is a folder; StandclearError where that cannot be seen."""
    try:
        return path.is_dir()
    except OSError as problem:
        raise StandclearError(f"it cannot be used ({_reason(problem)})", where=str(path)) from None


def require_new(path: Path) -> None:
    """Refuse a path that something stands at, or whose folder is missing."""
    try:
        if path.exists() or path.is_symlink():
            raise StandclearError(
                "this file exists already", where=str(path), right="Name a new one."
            )
        if not path.parent.is_dir():
            raise StandclearError(
                "there is no such folder", where=str(path.parent), right="Name one that is there."
            )
    except OSError as problem:
        raise StandclearError(f"it cannot be used ({_reason(problem)})", where=str(path)) from None


def write_carried(path: Path, data: bytes) -> None:
    """Write a file that must not exist yet."""
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        raise StandclearError(
            "this file exists already", where=str(path), right="Name a new one."
        ) from None
    except OSError as problem:
        raise StandclearError(
            f"it cannot be written ({_reason(problem)})", where=str(path)
        ) from None


def _reason(problem: OSError) -> str:
    return (problem.strerror or str(problem)).lower()

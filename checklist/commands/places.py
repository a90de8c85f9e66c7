"""The files and folders that a command line names: found, looked over, or refused."""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping, Sequence
from pathlib import Path

from checklist.errors import StandclearError

LOGS_VARIABLE = "STANDCLEAR_LOGS"
"""The environment variable that names the log folder where no option does."""

LOGS_OPTION = "--logs"


def logs_named(option: str | None, environment: Mapping[str, str] = os.environ) -> Path | None:
    """Return the log folder that the option or else the environment names, or None.

    Raises StandclearError where the option is there and empty.
    """
    if option is not None and not option.strip():
        raise StandclearError("no folder is named", where=LOGS_OPTION, right="Name a folder.")
    named = option or environment.get(LOGS_VARIABLE, "").strip()
    return path_named(named, LOGS_OPTION) if named else None


def logs_in(arguments: Sequence[str]) -> str | None:
    """Return the value of the last --logs among raw arguments, or None."""
    found = None
    for position, argument in enumerate(arguments):
        if argument == LOGS_OPTION and position + 1 < len(arguments):
            found = arguments[position + 1]
        elif argument.startswith(f"{LOGS_OPTION}="):
            found = argument.partition("=")[2]
    return found


def path_named(text: str, field: str) -> Path:
    """Return the path that a person typed, `~` meaning the home folder."""
    if "\0" in text:
        raise StandclearError("a path cannot hold a null character", where=field)
    try:
        return Path(text).expanduser()
    except RuntimeError:
        raise StandclearError(
            f"“{text}” names a home folder that is not known", where=field, right="Write it out."
        ) from None


def refuse_unreadable(path: Path, largest: int) -> None:
    """Raise StandclearError unless `path` is an ordinary file of at most `largest` bytes.

    Asked before a file is read, so that a device or a pipe is never waited on and an
    enormous file never fills the memory.
    """
    where = str(path)
    try:
        facts = path.stat()
    except FileNotFoundError:
        raise StandclearError("there is no such file", where=where) from None
    except OSError as error:
        raise StandclearError(
            f"it cannot be read ({(error.strerror or str(error)).lower()})", where=where
        ) from None
    if stat.S_ISDIR(facts.st_mode):
        raise StandclearError("this is a folder", where=where, right="Name the files in it.")
    if not stat.S_ISREG(facts.st_mode):
        raise StandclearError("this is no ordinary file", where=where, right="Save it as a file.")
    if facts.st_size > largest:
        raise StandclearError(
            f"the file has {facts.st_size} bytes", where=where, right=f"At most {largest} are read."
        )

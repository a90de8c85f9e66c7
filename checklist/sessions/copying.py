"""Copies a rule file into the club's folder, under a name of its own, for somebody to change."""

from __future__ import annotations

import re
from pathlib import Path

from checklist.errors import StandclearError
from checklist.record.files.disk import Disk
from checklist.record.files.whole import create_whole
from checklist.sessions.library import Library

_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_LONGEST = 60
_DEVICES = re.compile(r"con|prn|aux|nul|com\d|lpt\d")
"""Names that Windows keeps for devices, whatever their ending; a club's files travel."""


def copy_rule_file(library: Library, disk: Disk, name: str, new_name: str) -> Path:
    """Return the path of the copy, which says the same in every line but that of its name.

    Raises StandclearError for a name that is none or is taken, and where the club's folder
    cannot be written; nothing that is there is ever replaced.
    """
    folder = library.club_checks
    if folder is None:
        raise StandclearError("there is no folder for a club's rules here")
    _refuse_name(library, new_name)
    text = library.path(name).read_bytes().decode("utf-8")
    copied, lines = re.subn(rf"^name:[ \t]*{re.escape(name)}(?=\s)", f"name: {new_name}", text,
                            flags=re.MULTILINE)  # fmt: skip
    if lines != 1:
        raise StandclearError(
            f"its name does not stand once in a line “name: {name}”", where=f"{name}.yaml"
        )
    path = folder / f"{new_name}.yaml"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        create_whole(disk, path, copied.encode("utf-8"))
    except FileExistsError:
        raise StandclearError("it is there already", where=str(path)) from None
    except OSError as error:
        raise StandclearError(
            f"NOT SAVED, the copy could not be written ({error.strerror})", where=str(path)
        ) from None
    return path


def _refuse_name(library: Library, new_name: str) -> None:
    if not _ID.fullmatch(new_name) or len(new_name) > _LONGEST:
        raise StandclearError(
            f"“{new_name}” is no name for a rule file",
            right=f"Write small letters, digits and -, as our-mast; at most {_LONGEST}.",
        )
    if _DEVICES.fullmatch(new_name):
        raise StandclearError(
            f"“{new_name}” is the name of a device on Windows", right="Give the copy another name."
        )
    if new_name in library.names():
        raise StandclearError(
            f"there is a rule file “{new_name}” already", right="Give the copy another name."
        )

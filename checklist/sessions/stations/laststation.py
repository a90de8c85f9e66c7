"""Which station files were looked at on this laptop, so that their paths are not typed again."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import Any

from checklist.errors import StandclearError
from checklist.plaintext import accept
from checklist.record.files.folder import LogFolder
from checklist.record.files.whole import write_whole

_NOTE = "last-station.json"
_LARGEST = 10_000
_MOST = 7


def remember_station(folder: LogFolder, path: Path) -> None:
    """Keep the path of the station file, ahead of the others.

    It saves typing and proves nothing, so a note that cannot be written stands in nobody's way.
    """
    with suppress(StandclearError, OSError):
        newest = str(path.absolute())
        others = [one for one in known_stations(folder) if one != newest]
        note = json.dumps({"station": newest, "others": others[: _MOST - 1]})
        write_whole(folder.disk, folder.path / _NOTE, f"{note}\n".encode("ascii"))


def known_stations(folder: LogFolder) -> tuple[str, ...]:
    """Return the paths that were kept, the last one first; what cannot be read is left out."""
    try:
        note = json.loads(folder.disk.read(folder.path / _NOTE, at_most=_LARGEST))
    except (StandclearError, OSError, ValueError, RecursionError):
        return ()
    if not isinstance(note, dict):
        return ()
    others = note.get("others", [])
    named = [note.get("station"), *(others if isinstance(others, list) else [])]
    return tuple(dict.fromkeys(path for path in map(_path, named) if path))


def _path(named: Any) -> str:
    try:
        return accept(named, field="station") if isinstance(named, str) else ""
    except StandclearError:
        return ""

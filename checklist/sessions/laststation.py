"""Which station file was looked at last on this laptop, so that its path is not typed again."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path

from checklist.errors import StandclearError
from checklist.plaintext import accept
from checklist.record.disk import write_whole
from checklist.record.folder import LogFolder

_NOTE = "last-station.json"
_LARGEST = 10_000


def remember_station(folder: LogFolder, path: Path) -> None:
    """Keep the path of the station file.

    It saves typing and proves nothing, so a note that cannot be written stands in nobody's way.
    """
    with suppress(StandclearError, OSError):
        note = json.dumps({"station": str(path.absolute())})
        write_whole(folder.disk, folder.path / _NOTE, f"{note}\n".encode("ascii"))


def last_station(folder: LogFolder) -> str:
    """Return the path that was kept; empty where there is none that can be read."""
    try:
        note = json.loads(folder.disk.read(folder.path / _NOTE, at_most=_LARGEST))
        named = note.get("station") if isinstance(note, dict) else None
        return accept(named, field="station") if isinstance(named, str) else ""
    except (StandclearError, OSError, ValueError, RecursionError):
        return ""

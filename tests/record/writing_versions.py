"""Freezes the records of the program at hand: python -m tests.record.writing_versions N FOLDER."""

from __future__ import annotations

import json
import sys
import tempfile
import zipfile
from pathlib import Path

from checklist.demo.building import build
from tests.record.keptversions import LAPTOPS, VERSIONS, unpacked

_STAMP = (2026, 11, 21, 0, 0, 0)
"""The date of every member, so that the archive says nothing of the day it was made."""


def freeze(version: str, folder: Path) -> Path:
    """Write `versions/N`: the invented club as it is built today, and what is told of it.

    `folder` is where the club is built; its path stands in the records, so choose a plain one.
    """
    place = VERSIONS / version
    place.mkdir()  # a version that was frozen is never written again
    with tempfile.TemporaryDirectory() as other:
        club = build(folder, whole_year=False)
        with zipfile.ZipFile(place / "club.zip", "w", zipfile.ZIP_DEFLATED) as packed:
            for path in sorted(p for name in LAPTOPS for p in (club.folder / name).rglob("*")):
                info = zipfile.ZipInfo(str(path.relative_to(club.folder)), _STAMP)
                if path.is_file():
                    packed.writestr(info, path.read_bytes(), zipfile.ZIP_DEFLATED)
                else:
                    packed.writestr(zipfile.ZipInfo(f"{info.filename}/", _STAMP), b"")
        told = unpacked(version, Path(other) / "again").told()
    text = json.dumps(told, indent=1, ensure_ascii=False) + "\n"
    (place / "told.json").write_text(text, encoding="utf-8")
    return place


if __name__ == "__main__":
    print(freeze(sys.argv[1], Path(sys.argv[2])))

"""Writes every picture of the manual, and its two lists, anew.

Run it by: python -m tests.manual.writing_pictures.
"""

from __future__ import annotations

import asyncio
import contextlib
import re
import tempfile
from pathlib import Path

from checklist.demo.building import build
from checklist.helppages import MANUAL
from tests.manual.generated import GENERATED
from tests.manual.shots import DRAWN, PICTURES, Shot, block, marked, shots, svg_file


def with_picture(text: str, name: str, picture: str) -> str:
    """Return a page with a picture put between its marks."""
    found = re.escape(marked(name)) + r".*?<!-- end -->"
    return re.sub(found, lambda _: block(name, picture), text, flags=re.DOTALL)


def write_all() -> None:
    """Build the club, make every picture, and write pages and SVG files."""
    for name, made in GENERATED.items():
        (MANUAL / f"{name}.md").write_text(made(), "utf-8")
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        club = build(Path(folder) / "invented")
        made_now = asyncio.run(shots(club))
        _write(made_now)
        # The picture of the manual itself shows a page with pictures, so it is made once more.
        _write(asyncio.run(shots(club, only="help")))


def _write(made_now: dict[str, Shot]) -> None:
    for name, picture in made_now.items():
        for page in MANUAL.glob("*.md"):
            text = page.read_text("utf-8")
            page.write_text(with_picture(text, name, picture.text), "utf-8")
        if name in DRAWN:
            svg_file(name).write_text(picture.svg, "utf-8")


if __name__ == "__main__":
    write_all()

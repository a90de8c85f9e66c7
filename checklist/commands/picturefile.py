"""Writes pictures into new files, never over what is there."""

from __future__ import annotations

from pathlib import Path

from checklist.errors import StandclearError


def write_picture(path: Path, picture: str) -> None:
    """Write a picture into the new file `path`; raises StandclearError where that cannot be."""
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(picture)
    except FileExistsError:
        raise StandclearError(
            "there is a file already", where=str(path), right="Name another, or move that one."
        ) from None
    except OSError as error:
        raise StandclearError(
            f"the picture cannot be written ({(error.strerror or str(error)).lower()})",
            where=str(path),
        ) from None


def write_pictures(folder: Path, pictures: dict[str, str]) -> list[Path]:
    """Write pictures by file name into a folder, which is made where there is none.

    Returns where they are. Raises StandclearError, before anything is written, where one of
    the names is taken.
    """
    paths = {folder / name: picture for name, picture in pictures.items()}
    for path in paths:
        if path.exists():
            raise StandclearError(
                "there is a file already",
                where=str(path),
                right="Name another folder, or move that file.",
            )
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StandclearError(
            f"the folder cannot be made ({(error.strerror or str(error)).lower()})",
            where=str(folder),
        ) from None
    for path, picture in paths.items():
        write_picture(path, picture)
    return list(paths)

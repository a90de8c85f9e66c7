"""A variant written as a station file of its own: the old text with the changes put into it."""

from __future__ import annotations

from pathlib import Path

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.files.disk import Disk
from checklist.record.files.whole import create_whole, write_whole
from checklist.sessions.stations.stationread import station_path
from checklist.sessions.variants.variant import Source, Variant, VariantRefused
from checklist.station.surgery import with_value, without
from checklist.strictyaml import read_yaml


class VariantThere(StandclearError):
    """A file of that name is there already; it is written over only where somebody says so."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "there is a file already", where=shown(path.name), right="Give another name."
        )
        self.path = path


def variant_text(source: Source, variant: Variant) -> str:
    """Return the station file with the variant's changes; comments and order stay as they were.

    What it reads to is exactly what was evaluated; raises VariantRefused where it would not be.
    """
    text = source.text
    for step in variant.steps:
        for change in step.changes:
            if change.value is None:
                text = without(text, change.path)
            else:
                text = with_value(text, change.path, change.value)
    if read_yaml(text, variant.name).data != variant.data:
        raise VariantRefused(
            f"{variant.name} cannot be written into this file", right="Change it in the editor."
        )
    return text


def suggested_path(source: Source, variant: Variant) -> Path:
    """Return a name for the variant's file beside the station's own."""
    return source.path.with_name(f"{source.path.stem}-{variant.name.replace(' ', '-')}.yaml")


def save_variant(
    disk: Disk, source: Source, variant: Variant, named: str, *, over: bool = False
) -> Path:
    """Write the variant into the named file, whole and on disk when it returns; return its path.

    Raises VariantThere where a file stands there and `over` is not set, and StandclearError
    where it cannot be written.
    """
    path, data = station_path(named), variant_text(source, variant).encode("utf-8")
    try:
        if over:
            write_whole(disk, path, data)
        else:
            create_whole(disk, path, data)
    except FileExistsError:
        raise VariantThere(path) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "the path cannot be used"
        raise StandclearError(
            f"NOT SAVED, the file could not be written ({why})", where=shown(path.name)
        ) from None
    return path

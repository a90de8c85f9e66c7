"""One sitting at a station file: edits that are on disk before they count, undo and redo.

The file is replaced whole or not at all. Where another program changed it meanwhile, nothing
is overwritten. Unfinished entries lie in a file of their own beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path as FilePath

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.files.disk import Disk
from checklist.record.files.whole import create_whole, write_whole
from checklist.sessions.stations.stationread import (
    LARGEST,
    StationFileGone,
    StationFileRefused,
    station_bytes,
    station_text,
)
from checklist.station.editing import Edited, loaded
from checklist.station.placed import keys_in, shape_at
from checklist.station.reading import Known
from checklist.station.records import ByName
from checklist.station.station import Station
from checklist.station.unfinished import Unfinished, read_unfinished, unfinished_text
from checklist.strictyaml import Path, read_yaml

_MARK = b"\xef\xbb\xbf"
Edit = Callable[[str], Edited]


class ChangedElsewhere(StandclearError):
    """Another program wrote the station file since it was read here."""


class NotSaved(StandclearError):
    """The disk did not take a change; the file is as it was."""


class Sitting:
    """A station file that is being edited. Every method that changes it returns once it is kept."""

    def __init__(self, disk: Disk, path: FilePath, known: Known) -> None:
        self.path = path.resolve()  # a link stays a link; what it leads to is written
        self._disk, self._known = disk, known
        self._bytes = b""
        self._now: Edited | None = None
        self._before: list[tuple[str, str]] = []
        self._after: list[tuple[str, str]] = []
        self.unfinished: tuple[Unfinished, ...] = ()
        self.reread()

    @property
    def text(self) -> str:
        """The file as it stands on disk, as far as this sitting knows."""
        return self._edited.text

    @property
    def station(self) -> Station:
        """The station that the file describes."""
        return self._edited.station

    @property
    def known(self) -> Known:
        """Modes, cables and limit sets that the file may name."""
        return self._known

    @property
    def data(self) -> dict[str, object]:
        """The file as plain data."""
        held = read_yaml(self.text, self.path.name).data
        return held if isinstance(held, dict) else {}

    @property
    def names(self) -> dict[str, Sequence[str]]:
        """The names in each section, those of the wires of all antennas together."""
        found: dict[str, list[str]] = {}
        _gather((), self.data, self.data, found)
        return {section: tuple(names) for section, names in found.items()}

    def reread(self) -> None:
        """Read file and unfinished entries as they stand on disk; undo begins anew from there.

        Raises StandclearError where the file cannot be read or is not right; what was read
        before then stands.
        """
        data = station_bytes(self.path)
        edited = loaded(station_text(data, self.path.name), self._known, self.path.name)
        self._bytes, self._now = data, edited
        self._before, self._after = [], []
        self.unfinished = self._read_unfinished()

    def is_changed_elsewhere(self) -> bool:
        """Whether another program changed or removed the file since it was read here."""
        try:
            return station_bytes(self.path) != self._bytes
        except StationFileRefused:
            return True

    def edit(self, edit: Edit, called: str) -> None:
        """Make one edit, keep it on disk, and remember it for undo as `called`.

        Raises EditRefused for an edit that cannot stand, ChangedElsewhere and NotSaved; the
        file then is as it was.
        """
        old = self.text
        edited = edit(old)
        if edited.text == old:
            return
        self._save(edited)
        self._before.append((old, called))
        self._after.clear()

    def undo(self) -> str:
        """Take back the last edit of this sitting and return what it was called."""
        return self._step(self._before, self._after, "There is nothing to undo.")

    def redo(self) -> str:
        """Make the edit again that was taken back last, and return what it was called."""
        return self._step(self._after, self._before, "There is nothing to redo.")

    def keep_unfinished(self, entry: Unfinished, instead_of: Unfinished | None = None) -> None:
        """Keep an unfinished entry on disk, in the place of an earlier form of it."""
        others = tuple(one for one in self.unfinished if one not in (instead_of, entry))
        self._save_unfinished((*others, entry))

    def drop_unfinished(self, entry: Unfinished) -> None:
        """Take an unfinished entry away, because it is finished or given up."""
        if entry in self.unfinished:
            self._save_unfinished(tuple(one for one in self.unfinished if one != entry))

    def rename_in_unfinished(self, section: str, old: str, new: str) -> None:
        """Let unfinished entries refer to an entry by its new name."""
        row = {"antennas": "antenna", "transmitters": "transmitter", "feed-lines": "feed-line"}
        key = row.get(section, "")
        changed = tuple(
            replace(one, typed={**one.typed, key: new}) if one.typed.get(key) == old else one
            for one in self.unfinished
        )
        if changed != self.unfinished:
            self._save_unfinished(changed)

    @property
    def _edited(self) -> Edited:
        if self._now is None:
            raise StandclearError("the station file was not read", where=shown(self.path.name))
        return self._now

    def _step(self, source: list[tuple[str, str]], target: list[tuple[str, str]], none: str) -> str:
        if not source:
            raise StandclearError(none)
        text, called = source[-1]
        old = self.text
        self._save(loaded(text, self._known, self.path.name))
        source.pop()
        target.append((old, called))
        return called

    def _save(self, edited: Edited) -> None:
        if self.is_changed_elsewhere():
            raise ChangedElsewhere(
                "another program changed the file; nothing was overwritten",
                where=shown(self.path.name),
                right="Go back, press R to read it again, then make the change anew.",
            )
        mark = _MARK if self._bytes.startswith(_MARK) else b""
        data = mark + edited.text.encode("utf-8")
        if len(data) > LARGEST:
            raise NotSaved(f"NOT SAVED, the file would have {len(data)} bytes")
        facts = self._disk.facts(self.path)
        self._write(self.path, data)
        if facts is not None:
            with suppress(OSError):  # rights are the owner's wish, and no part of what is saved
                self.path.chmod(facts.mode)
        self._bytes, self._now = data, edited

    def _write(self, path: FilePath, data: bytes) -> None:
        try:
            write_whole(self._disk, path, data)
        except OSError as error:
            raise NotSaved(
                f"NOT SAVED, the disk did not take it ({error.strerror or error})",
                where=shown(path.name),
                right="The file is as it was.",
            ) from None

    @property
    def _beside(self) -> FilePath:
        return self.path.with_name(f"{self.path.stem}.unfinished.yaml")

    def _read_unfinished(self) -> tuple[Unfinished, ...]:
        try:
            data = station_bytes(self._beside)
        except StationFileGone:
            return ()
        return read_unfinished(station_text(data, self._beside.name), self._beside.name)

    def _save_unfinished(self, entries: tuple[Unfinished, ...]) -> None:
        if self._read_unfinished() != self.unfinished:
            raise ChangedElsewhere(
                "another program changed the unfinished entries; nothing was overwritten",
                where=shown(self._beside.name),
                right="Press R to read them again.",
            )
        if entries:
            self._write(self._beside, unfinished_text(entries, self.path.name).encode("utf-8"))
        else:
            with suppress(FileNotFoundError):
                self._disk.unlink(self._beside)
        self.unfinished = entries


def begin_station(disk: Disk, path: FilePath, given: dict[str, str]) -> None:
    """Write a first station file with nothing in it but name, address and law.

    `given` has `name`, `address`, `jurisdiction` and `limits`. Raises StandclearError where a
    value cannot stand or a file is there already.
    """
    from checklist.station.editing import set_value
    from checklist.station.rendering import scalar

    address = given["address"].replace(" / ", "\n")
    head = "format: 1\nname: {}\nlocation:\n  address: .\nlaw:\n  jurisdiction: {}\n  limits: {}\n"
    first = head.format(
        *(scalar(given[key].strip(), flow=False) for key in ("name", "jurisdiction", "limits"))
    )
    text = set_value(first, ("location", "address"), address).text
    try:
        create_whole(disk, path, text.encode("utf-8"))
    except FileExistsError:
        raise StandclearError(
            "there is a file already", where=shown(str(path)), right="Name another."
        ) from None
    except OSError as error:
        raise NotSaved(
            f"NOT SAVED, the file could not be written ({error.strerror or error})",
            where=shown(str(path)),
        ) from None


def _gather(path: Path, data: object, held: object, found: dict[str, list[str]]) -> None:
    """Collect the names of every section below a path."""
    shape = shape_at(path, data)
    if isinstance(held, dict) and (isinstance(shape, ByName) or keys_in(shape, held)):
        if isinstance(shape, ByName):
            found.setdefault(shape.section, []).extend(held)
        for key, one in held.items():
            if isinstance(one, dict):
                _gather((*path, key), data, one, found)

"""A sitting at a station file: on disk before it counts, undo, other programs, a failing disk."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from checklist.errors import StandclearError
from checklist.record.files.disk import RealDisk
from checklist.sessions.stations.stationsitting import (
    ChangedElsewhere,
    NotSaved,
    Sitting,
    begin_station,
)
from checklist.station import Known, load_station
from checklist.station.editing import set_value
from checklist.station.marks import EditRefused
from checklist.station.unfinished import Unfinished
from tests.station.making import WHOLE

HEIGHTS = ("6 ft", "7 ft", "2.5 m")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "station.yaml"
    path.write_bytes(WHOLE.encode())
    return path


def sit(path: Path, disk: RealDisk | None = None) -> Sitting:
    return Sitting(disk or RealDisk(), path, Known())


def raise_to(sitting: Sitting, height: str) -> None:
    sitting.edit(lambda text: set_value(text, ("places", "track", "tall"), height), height)


def test_every_edit_is_on_disk_and_can_be_undone_and_made_again(path: Path) -> None:
    """Three edits, all back, all again: each state is in the file when the call returns."""
    sitting = sit(path)
    states = [path.read_text("utf-8")]
    for height in HEIGHTS:
        raise_to(sitting, height)
        states.append(path.read_text("utf-8"))
    back = [(sitting.undo(), path.read_text("utf-8")) for _ in HEIGHTS]
    again = [(sitting.redo(), path.read_text("utf-8")) for _ in HEIGHTS]

    assert len(set(states)) == 4
    assert [text for _, text in back] == states[-2::-1]
    assert [text for _, text in again] == states[1:]
    assert [called for called, _ in back] == list(reversed(HEIGHTS))
    with pytest.raises(StandclearError, match="nothing to redo"):
        sitting.redo()


def test_a_new_edit_ends_what_could_be_made_again(path: Path) -> None:
    """After undo and another edit there is nothing to redo, and undo goes back past both."""
    sitting = sit(path)
    raise_to(sitting, "6 ft")
    sitting.undo()
    raise_to(sitting, "7 ft")

    with pytest.raises(StandclearError, match="nothing to redo"):
        sitting.redo()
    sitting.undo()

    assert path.read_text("utf-8") == WHOLE


def test_a_refused_edit_leaves_file_and_undo_as_they_were(path: Path) -> None:
    """The loader's sentence, no change of the file, nothing to undo."""
    sitting = sit(path)
    with pytest.raises(EditRefused, match="a length is asked for"):
        raise_to(sitting, "3 kg")

    assert path.read_text("utf-8") == WHOLE
    with pytest.raises(StandclearError, match="nothing to undo"):
        sitting.undo()


def test_what_another_program_wrote_is_never_overwritten(path: Path) -> None:
    """Changed or gone meanwhile: refused; read again, the edit is made on what stands there."""
    sitting = sit(path)
    raise_to(sitting, "6 ft")
    other = f"# by another program\n{path.read_text('utf-8')}"
    path.write_text(other, "utf-8")
    for attempt in (lambda: raise_to(sitting, "7 ft"), sitting.undo):
        with pytest.raises(ChangedElsewhere, match="nothing was overwritten"):
            attempt()

    assert path.read_text("utf-8") == other
    sitting.reread()
    raise_to(sitting, "7 ft")

    assert path.read_text("utf-8") == other.replace("tall: 6 ft", "tall: 7 ft")
    path.unlink()
    with pytest.raises(ChangedElsewhere):
        raise_to(sitting, "2 m")

    assert not path.exists()


def test_a_link_a_byte_order_mark_and_rights_stay(path: Path, tmp_path: Path) -> None:
    """Edited through a link: the link stays, and so do the mark, the line ends and the rights."""
    path.write_bytes(b"\xef\xbb\xbf" + WHOLE.replace("\n", "\r\n").encode())
    path.chmod(0o644)
    link = tmp_path / "link.yaml"
    link.symlink_to(path)
    raise_to(sit(link), "6 ft")

    assert link.is_symlink()
    assert path.stat().st_mode & 0o777 == 0o644
    assert (
        path.read_bytes()
        == b"\xef\xbb\xbf" + WHOLE.replace("\n", "\r\n").replace("tall: 2 m", "tall: 6 ft").encode()
    )


@dataclass(slots=True)
class Failing(RealDisk):
    """A disk on which the operation of a number, and all after it, fail as in a power cut."""

    after: int = 99
    done: list[str] = field(default_factory=list)

    def _count(self, what: str) -> None:
        self.done.append(what)
        if len(self.done) > self.after:
            raise OSError(5, "the power is cut")

    def create_new(self, path: Path) -> int:
        self._count("create")
        return RealDisk.create_new(self, path)

    def write(self, handle: int, data: bytes) -> int:
        self._count("write")
        return RealDisk.write(self, handle, data)

    def sync(self, handle: int) -> None:
        self._count("sync")
        RealDisk.sync(self, handle)

    def replace(self, existing: Path, new: Path) -> None:
        self._count("replace")
        RealDisk.replace(self, existing, new)

    def sync_folder(self, folder: Path) -> None:
        self._count("sync folder")
        RealDisk.sync_folder(self, folder)

    def unlink(self, path: Path) -> None:
        self._count("unlink")
        RealDisk.unlink(self, path)


@pytest.mark.parametrize("after", range(5))
def test_cut_off_at_any_operation_the_old_file_or_the_new_stands_whole(
    path: Path, after: int
) -> None:
    """Killed in the middle of a save: whole either way, and what is left over disturbs nothing."""
    disk = Failing(after)
    sitting = sit(path, disk)
    with pytest.raises(NotSaved, match="NOT SAVED"):
        raise_to(sitting, "6 ft")
    text = path.read_text("utf-8")

    assert disk.done[:after] == ["create", "write", "sync", "replace", "sync folder"][:after]
    assert text in (WHOLE, WHOLE.replace("tall: 2 m", "tall: 6 ft"))
    again = sit(path)
    raise_to(again, "7 ft")

    assert load_station(path.read_text("utf-8"), "x").places[1].tall.typed == "7 ft"


def test_unfinished_entries_lie_beside_the_file_and_are_found_again(path: Path) -> None:
    """Kept with texts as typed, changed, found by the next sitting, and gone when finished."""
    typed: dict[str, str | list[str]] = {"kind": "yagi", "rear": "0 m, 3", "elements": ["0 m; 1"]}
    sitting = sit(path)
    first = Unfinished(("antennas",), "beam-2", {"kind": "yagi"})
    second = Unfinished(("antennas",), "beam-2", typed)
    sitting.keep_unfinished(first)
    sitting.keep_unfinished(second, first)
    again = sit(path)

    assert again.unfinished == (second,)
    assert path.read_text("utf-8") == WHOLE
    with pytest.raises(NotSaved):
        sit(path, Failing(2)).keep_unfinished(Unfinished(("cords",), "c", {}))

    assert sit(path).unfinished == (second,)
    again.drop_unfinished(second)

    assert not path.with_name("station.unfinished.yaml").exists()
    with pytest.raises(ChangedElsewhere):
        sitting.keep_unfinished(first)


def test_unfinished_entries_of_another_kind_of_file_are_refused(path: Path) -> None:
    """What lies under that name and is no such list is said, and not overwritten."""
    beside = path.with_name("station.unfinished.yaml")
    beside.write_text("a: b\n", "utf-8")
    with pytest.raises(StandclearError, match="no list of unfinished entries"):
        sit(path)

    assert beside.read_text("utf-8") == "a: b\n"


def test_a_new_file_holds_the_four_things_and_never_replaces_another(tmp_path: Path) -> None:
    """Name, address in lines, jurisdiction and limits, with signs that YAML has for itself."""
    given = {
        "name": "Hill: # 3", "address": "14 Quarry Track / Larkspur Bend",
        "jurisdiction": "[US]", "limits": "fcc-1310",
    }  # fmt: skip
    path = tmp_path / "new.yaml"
    begin_station(RealDisk(), path, given)
    station = load_station(path.read_text("utf-8"), "new.yaml")

    assert station.name == "Hill: # 3"
    assert station.location.address == "14 Quarry Track\nLarkspur Bend"
    assert station.law.jurisdiction == "[US]"
    with pytest.raises(StandclearError, match="a file already"):
        begin_station(RealDisk(), path, given)

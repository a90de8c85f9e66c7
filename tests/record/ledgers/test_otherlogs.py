"""Two laptops: what is taken over from another log folder, and which copies are refused."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import Damaged, EntryRefused, FolderRefused
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger
from checklist.record.ledgers.otherlogs import FOLDER, logs_read, other_tags, take_over
from checklist.record.ledgers.tags import Tags, tags_of
from tests.record.ledgers.test_tags import WREN, hung, off
from tests.record.making import open_folder

if TYPE_CHECKING:
    from pathlib import Path


def known(folder: LogFolder) -> Tags:
    return tags_of((*Ledger(folder).entries(), *other_tags(folder).entries))


def look(folder: LogFolder) -> LogFolder:
    return LogFolder.look(folder.path, folder.disk, folder.clock)


@pytest.fixture
def shack(tmp_path: Path) -> LogFolder:
    return open_folder(tmp_path / "shack" / "logs")


@pytest.fixture
def field(tmp_path: Path) -> LogFolder:
    return open_folder(tmp_path / "field" / "logs")


def test_tag_hung_on_one_laptop_is_taken_off_on_another(shack: LogFolder, field: LogFolder) -> None:
    """Imported, it hangs here with its origin; taken off here, it is off there once imported."""
    tag = hung(shack)
    take_over(field, look(shack))
    seen = known(field).open

    assert seen == (tag,)
    assert seen[0].origin == shack.origin

    off(field, seen[0], {WREN: "worker"})

    assert known(field).open == ()
    assert known(shack).open == (tag,)

    take_over(shack, look(field))

    assert known(shack).open == ()


def test_reading_says_how_far_and_when(shack: LogFolder, field: LogFolder) -> None:
    """An entry of the own ledger names the other folder, its last entry and its hash."""
    hung(shack)
    last = Ledger(shack).entries()[-1]
    recorded, count = take_over(field, look(shack))
    read = logs_read(Ledger(field).entries())[shack.origin]

    assert (read.number, read.sha256, read.at) == (1, last.sha256, recorded.entry.at)
    assert count == 1


def test_empty_ledger_can_be_read(shack: LogFolder, field: LogFolder) -> None:
    """A laptop on which nothing was entered is read, too: nothing of it hangs."""
    take_over(field, look(shack))
    hung(shack)
    take_over(field, look(shack))

    assert logs_read(Ledger(field).entries())[shack.origin].number == 1
    assert len(known(field).open) == 1


def test_own_folder_is_refused(shack: LogFolder) -> None:
    """A folder does not import itself."""
    with pytest.raises(FolderRefused, match="in use"):
        take_over(shack, look(shack))


def test_older_copy_is_refused(shack: LogFolder, field: LogFolder, tmp_path: Path) -> None:
    """A copy that ends before what was read is said to be older, and changes nothing."""
    hung(shack)
    shutil.copytree(shack.path, tmp_path / "old")
    hung(shack, lock="6", number=2)
    take_over(field, look(shack))
    old = LogFolder.look(tmp_path / "old", shack.disk, shack.clock)

    with pytest.raises(EntryRefused, match="newer copy"):
        take_over(field, old)

    assert len(known(field).open) == 2


def test_second_history_is_refused(shack: LogFolder, field: LogFolder, tmp_path: Path) -> None:
    """A folder of the same origin with other entries is refused, and the first stays."""
    shutil.copytree(shack.path, tmp_path / "twin")
    twin = LogFolder.open(tmp_path / "twin", shack.disk, shack.clock)
    tag = hung(shack)
    hung(twin, lock="9", number=7)
    take_over(field, look(shack))

    with pytest.raises(Damaged, match="not the one"):
        take_over(field, look(twin))

    assert known(field).open == (tag,)


def test_broken_chain_is_refused(shack: LogFolder, field: LogFolder) -> None:
    """A ledger in which an entry was changed is not taken over."""
    hung(shack)
    hung(shack, lock="6", number=2)
    path = shack.ledger / "00000001.note"
    path.write_bytes(path.read_bytes().replace(b"lock 5", b"lock 7"))

    with pytest.raises(Damaged):
        take_over(field, look(shack))

    assert known(field).open == ()


def test_damaged_copy_is_a_sentence(shack: LogFolder, field: LogFolder) -> None:
    """A copy that was spoilt here is said, and its log counts as not read."""
    hung(shack)
    take_over(field, look(shack))
    copy = field.path / FOLDER / shack.origin / "00000001.note"
    copy.write_bytes(b"\xff")
    found = other_tags(field)

    assert found.entries == ()
    assert found.damaged == {shack.origin}
    assert "00000001.note" in found.problems[0]


def test_strange_names_are_passed_over(shack: LogFolder, field: LogFolder) -> None:
    """Only folders named as an origin and files named as an entry are looked into."""
    hung(shack)
    take_over(field, look(shack))
    (field.path / FOLDER / "..notes").mkdir()
    (field.path / FOLDER / shack.origin / "readme.txt").write_text("x", encoding="utf-8")

    assert len(other_tags(field).entries) == 1
    assert other_tags(field).problems == ()


def test_link_in_place_of_a_copy_is_not_followed(
    shack: LogFolder, field: LogFolder, tmp_path: Path
) -> None:
    """A symbolic link among the copies is a sentence, wherever it leads."""
    hung(shack)
    take_over(field, look(shack))
    copy = field.path / FOLDER / shack.origin / "00000001.note"
    aside = tmp_path / "aside"
    copy.rename(aside)
    copy.symlink_to(aside)

    assert other_tags(field).entries == ()
    assert other_tags(field).damaged == {shack.origin}


def test_log_read_needs_its_fields(field: LogFolder) -> None:
    """An entry that says a log was read must say which and how far."""
    with pytest.raises(EntryRefused):
        Ledger(field).append(Draft("log read", fields=(("of", "0" * 32),)))

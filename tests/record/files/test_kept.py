"""Files kept by their hash, and what people may name as an attachment."""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import Damaged
from checklist.record.files import kept, whole
from checklist.record.files.kept import (
    FileRefused,
    LookedAt,
    Part,
    attach,
    keep,
    read,
    references,
)
from tests.record.making import open_folder

if TYPE_CHECKING:
    from checklist.record.files.disk import Disk
    from checklist.record.files.folder import LogFolder
    from checklist.record.files.strictjson import Json


@pytest.fixture
def folder(tmp_path: Path) -> LogFolder:
    return open_folder(tmp_path / "logs")


def test_kept_bytes_come_back(folder: LogFolder) -> None:
    """What is kept is found under its SHA-256, twice kept is once there."""
    sha256 = keep(folder, "rules", b"a rule file")

    assert sha256 == hashlib.sha256(b"a rule file").hexdigest()
    assert keep(folder, "rules", b"a rule file") == sha256
    assert read(folder, "rules", sha256) == b"a rule file"
    assert [path.name for path in folder.rules.iterdir()] == [sha256]


def test_changed_bytes_are_not_given_out(folder: LogFolder) -> None:
    """A kept file that was changed is neither read nor taken for kept."""
    sha256 = keep(folder, "rules", b"a rule file")
    (folder.rules / sha256).write_bytes(b"another rule file")

    with pytest.raises(Damaged, match="was changed"):
        read(folder, "rules", sha256)
    with pytest.raises(Damaged, match="was changed"):
        keep(folder, "rules", b"a rule file")


def test_one_verification_reads_a_table_once_and_a_photo_each_time(folder: LogFolder) -> None:
    """What many sessions share is read once for all of them; a new verification reads it anew."""
    named: list[tuple[Part, str]] = [(part, keep(folder, part, b"light")) for part in PARTS]
    looked_at = LookedAt(folder)
    before = [looked_at.problem(*one) for one in named]
    for part, sha256 in named:
        (folder.path / part / sha256).write_bytes(b"dark")
    after = [looked_at.problem(*one) for one in named]
    anew = [LookedAt(folder).problem(*one) for one in named]

    assert before == ["", ""]
    assert [bool(problem) for problem in after] == [False, True]
    assert all("was changed" in problem for problem in anew)


PARTS: tuple[Part, ...] = ("rules", "attachments")


def test_an_attachment_keeps_its_name_as_text(folder: LogFolder, tmp_path: Path) -> None:
    """The name a photo had is text with its harm made visible, never a path."""
    photo = tmp_path / "mast\x1b[2J\u202egpj.jpg"
    photo.write_bytes(b"light")
    found = attach(folder, photo)

    assert found.name == "mast<U+001B>[2J<U+202E>gpj.jpg"
    assert (found.size, read(folder, "attachments", found.sha256)) == (5, b"light")
    assert list(references({"a": [found.as_data()]})) == [("attachments", found.sha256)]  # type: ignore[list-item]  # plain JSON by construction


def test_what_is_no_ordinary_file_is_refused(folder: LogFolder, tmp_path: Path) -> None:
    """Links, folders, pipes, devices, empty and absent files are refused in a sentence each."""
    (tmp_path / "link").symlink_to("/etc/hostname")
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "empty").touch()
    for path, said in (
        (tmp_path / "link", "symbolic link"),
        (tmp_path, "folder"),
        (tmp_path / "pipe", "device or pipe"),
        (Path("/dev/zero"), "device or pipe"),
        (tmp_path / "empty", "empty"),
        (tmp_path / "absent", "no such file"),
        (tmp_path / "empty" / "inner", "no such file"),
    ):
        with pytest.raises(FileRefused, match=said):
            attach(folder, path)

    assert list((folder.path / "attachments").iterdir()) == []


def test_a_path_that_leads_nowhere_is_said_whole(folder: LogFolder, tmp_path: Path) -> None:
    """Which file, what is wrong, what to do: the name of the file and not the way to it."""
    with pytest.raises(FileRefused) as refused:
        attach(folder, tmp_path / "photo.jpg")

    assert refused.value.sentence() == "photo.jpg: there is no such file. Check the path."


def test_two_programs_may_keep_the_same_bytes_at_once(
    folder: LogFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who comes second finds the file there, and takes it if it has these very bytes."""
    create = whole.create_whole

    def second(disk: Disk, path: Path, data: bytes) -> None:
        create(disk, path, data)
        raise FileExistsError

    monkeypatch.setattr(kept, "create_whole", second)
    sha256 = keep(folder, "rules", b"rule")

    assert read(folder, "rules", sha256) == b"rule"


def test_large_files_are_refused(
    folder: LogFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file beyond the cap is refused, also when it claims to be smaller than it is."""
    monkeypatch.setitem(kept.LARGEST, "attachments", 1000)
    for size in (1001, 5000):
        (tmp_path / "photo").write_bytes(bytes(size))
        with pytest.raises(FileRefused) as refused:
            attach(folder, tmp_path / "photo")
        assert re.fullmatch(
            "photo: .*more than 1000 bytes.*[.] Attach a smaller one[.]", refused.value.sentence()
        )
    (tmp_path / "photo").write_bytes(bytes(1000))

    assert attach(folder, tmp_path / "photo").size == 1000


@pytest.mark.parametrize("half", [{"kept": 5, "sha256": "ab"}, {"kept": "rules", "sha256": 5}, {}])
def test_half_a_name_of_a_file_names_no_file(half: dict[str, Json]) -> None:
    """Folder and hash are both texts, or nothing is named; what lies deeper still is."""
    whole: dict[str, Json] = {"kept": "rules", "sha256": "ab"}

    assert list(references(half)) == []
    assert list(references({**half, "in": [whole]})) == [("rules", "ab")]

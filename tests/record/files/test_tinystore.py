"""A TinyDB file that a crash, a full disk or damage cannot make disappear."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
import tinydb

from checklist.record.errors import FolderRefused, NotSaved
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.files.tinystore import (
    DiskStorage,
    StoreDamaged,
    StoreNewer,
    TinyStore,
    tables_of,
)
from checklist.record.files.whole import is_temporary
from tests.conftest import Tried
from tests.record.dying_disk import Died, DyingDisk

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.record.files.tinystore import Tables


def test_tinydb_works_over_the_storage(tmp_path: Path) -> None:
    """TinyDB itself, given this storage class, keeps, finds, changes and removes rows."""
    path = tmp_path / "store.json"
    database = tinydb.TinyDB(RealDisk(), path, storage=DiskStorage)
    database.table("t").insert_multiple([{"a": "x"}, {"a": "y"}])
    database.table("t").update({"a": "z"}, doc_ids=[2])
    again = tinydb.TinyDB(RealDisk(), path, storage=DiskStorage)

    assert [dict(row) for row in again.table("t")] == [{"a": "x"}, {"a": "z"}]
    assert again.table("t").search(tinydb.where("a") == "z")[0].doc_id == 2
    again.close()
    assert json.loads(path.read_bytes()) == {"t": {"1": {"a": "x"}, "2": {"a": "z"}}}


def test_a_change_is_one_write_however_much_it_holds(tmp_path: Path) -> None:
    """Many TinyDB operations in one change reach the disk as one whole file, synced in order."""
    disk = DyingDisk()
    store = _store(_folder(tmp_path, disk))
    disk.done.clear()
    with store.change() as database:
        for number in range(20):
            database.table("t").insert({"n": number})

    assert disk.done == ["create_new", "write", "sync", "close", "replace", "sync_folder"]
    assert len(store.content()["t"]) == 20


def test_dead_at_any_operation_old_or_new_stands(tmp_path: Path, tried: Tried) -> None:
    """A program that dies at whichever operation leaves the old rows or the new, whole."""
    seen = set()
    for at in range(1, 7):
        folder = _folder(tmp_path / str(at))
        with _store(folder).change() as database:
            database.table("t").insert({"n": 1})
        with pytest.raises(Died):
            _insert(_store(_with(folder, DyingDisk(at=at))), 2)
        rows = [row["n"] for row in _store(folder).content()["t"].values()]
        seen.add((at, tuple(rows)))

        assert rows in ([1], [1, 2])
    tried("operations", 6)
    # The rename is the fifth operation: before it the old rows, after it the new.
    assert seen == {(at, (1,)) for at in range(1, 6)} | {(6, (1, 2))}


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EROFS], ids=errno.errorcode.get)
def test_an_error_at_any_operation_is_said_and_loses_nothing(
    tmp_path: Path, number: int, tried: Tried
) -> None:
    """Every failing operation raises NotSaved; what stood before stands, and no piece is left."""
    for at in (1, 2, 3, 4, 5, 6):
        folder = _folder(tmp_path / str(at))
        _insert(_store(folder), 1)
        failing = _store(
            _with(folder, DyingDisk(at=at, error=OSError(number, os.strerror(number))))
        )
        with pytest.raises(NotSaved, match="NOT SAVED"):
            _insert(failing, 2)
        rows = [row["n"] for row in _store(folder).content()["t"].values()]

        # Only the sync of the folder comes after the new file has taken its place.
        assert rows == ([1, 2] if at == 6 else [1])
        assert not [name for name in RealDisk().names(folder.path) if is_temporary(name)]
        tried("operations", 1)


def test_a_block_that_raises_writes_nothing(tmp_path: Path) -> None:
    """An exception inside a change leaves the file as it was."""
    store = _store(_folder(tmp_path))
    _insert(store, 1)

    def half_a_change() -> None:
        with store.change() as database:
            database.table("t").truncate()
            raise KeyError

    with pytest.raises(KeyError):
        half_a_change()

    assert [row["n"] for row in store.content()["t"].values()] == [1]


DAMAGED = {
    "empty": b"",
    "cut": b'{"about":{"1":{"format":1}},"t":{"1":{"n"',
    "zeros": bytes(40),
    "not UTF-8": b'{"t":{"1":{"n":"\xff"}}}',
    "a list": b"[]",
    "a number": b"5",
    "a table that is a list": b'{"about":{"1":{"format":1}},"t":[]}',
    "a row that is text": b'{"about":{"1":{"format":1}},"t":{"1":"x"}}',
    "a row number that is none": b'{"about":{"1":{"format":1}},"t":{"one":{}}}',
    "a row number in other digits": '{"about":{"1":{"format":1}},"t":{"١":{}}}'.encode(),
    "a row number without end": b'{"about":{"1":{"format":1}},"t":{"' + b"9" * 5000 + b'":{}}}',
    "a number without end": b'{"about":{"1":{"format":' + b"9" * 5000 + b"}}}",
    "a name twice": b'{"about":{"1":{"format":1}},"t":{"1":{"n":1,"\\u006e":2}}}',
    "NaN": b'{"about":{"1":{"format":1}},"t":{"1":{"n":NaN}}}',
    "a float": b'{"about":{"1":{"format":1}},"t":{"1":{"n":1e400}}}',
    "depth": b'{"about":' + b'{"a":' * 100_000,
    "no format": b'{"t":{}}',
    "format that is text": b'{"about":{"1":{"format":"1"}}}',
    "format naught": b'{"about":{"1":{"format":0}}}',
    "UTF-16": '{"about":{"1":{"format":1}}}'.encode("utf-16"),
    "byte order mark": b'\xef\xbb\xbf{"about":{"1":{"format":1}}}',
}


@pytest.mark.parametrize("data", DAMAGED.values(), ids=DAMAGED)
def test_damage_is_set_aside_and_never_lost(tmp_path: Path, data: bytes) -> None:
    """Reading a damaged file changes nothing; the next change keeps its bytes in quarantine."""
    folder = _folder(tmp_path)
    path = _put(folder, data)
    store = _store(folder)

    assert store.content() == {}
    assert len(store.notes) == 1
    assert store.notes[0].startswith(f"{path}: the file is damaged")
    assert path.read_bytes() == data
    _insert(store, 1)
    assert [file.read_bytes() for file in folder.quarantine.iterdir()] == [data]
    assert len(store.notes) == 2
    assert next(folder.quarantine.iterdir()).name in store.notes[1]
    assert [row["n"] for row in _store(folder).content()["t"].values()] == [1]


def test_the_same_damage_twice_is_kept_once(tmp_path: Path) -> None:
    """Setting aside what is already in quarantine succeeds and makes no second copy."""
    folder = _folder(tmp_path)
    for _ in range(2):
        _put(folder, b"damage")
        _insert(_store(folder), 1)

    assert len(list(folder.quarantine.iterdir())) == 1


def test_dead_while_setting_aside_damage_stands_somewhere(tmp_path: Path, tried: Tried) -> None:
    """At whichever operation the program dies, the damaged bytes are still on the disk whole."""
    operations = 0
    for at in range(1, 100):
        folder = _folder(tmp_path / str(at))
        path = _put(folder, b"damage")
        try:
            _insert(_store(_with(folder, DyingDisk(at=at))), 1)
        except Died:
            operations = at
        else:
            break
        kept = [file.read_bytes() for file in folder.quarantine.iterdir()]

        assert b"damage" in [path.read_bytes(), *kept]
    tried("operations", operations)

    assert operations == 13  # seven to keep the copy, six to write the new file


def test_damage_that_cannot_be_set_aside_stops_the_write(tmp_path: Path) -> None:
    """Where quarantine takes nothing, the change fails in one sentence and the file stands."""
    folder = _folder(tmp_path)
    path = _put(folder, b"damage")
    failing = DyingDisk(at=2, error=OSError(errno.ENOSPC, "No space left on device"))
    with pytest.raises(NotSaved, match=r"cannot be set aside \(No space left on device\)"):
        _insert(_store(_with(folder, failing)), 1)

    assert path.read_bytes() == b"damage"


def test_a_newer_format_is_refused_and_left_alone(tmp_path: Path) -> None:
    """A file of a later program is neither read, nor changed, nor called damaged."""
    folder = _folder(tmp_path)
    data = b'{"about":{"1":{"format":2}}}'
    path = _put(folder, data)
    store = _store(folder)
    with pytest.raises(StoreNewer, match="format 2; this program knows 1"):
        store.content()
    with pytest.raises(StoreNewer):
        _insert(store, 1)

    assert path.read_bytes() == data
    assert not list(folder.quarantine.iterdir())


def test_text_that_no_file_can_hold_is_refused(tmp_path: Path) -> None:
    """A lone surrogate or a NaN raises NotSaved and leaves the rows that stood there."""
    store = _store(_folder(tmp_path))
    _insert(store, 1)
    for value in ("\ud800", float("nan"), {1, 2}):
        with pytest.raises(NotSaved), store.change() as database:
            database.table("t").insert({"n": value})

        assert [row["n"] for row in store.content()["t"].values()] == [1]


def test_a_link_or_a_file_open_to_others_is_refused(tmp_path: Path) -> None:
    """The store does not follow a symbolic link, nor trust a file that others can write."""
    folder = _folder(tmp_path)
    (tmp_path / "elsewhere").write_bytes(b'{"about":{"1":{"format":1}}}')
    folder.registers.symlink_to(tmp_path / "elsewhere")
    with pytest.raises(FolderRefused, match="symbolic link"):
        _store(folder).content()
    folder.registers.unlink()
    _put(folder, b"{}").chmod(0o666)
    with pytest.raises(FolderRefused, match="other users"):
        _insert(_store(folder), 1)

    assert folder.registers.read_bytes() == b"{}"


def test_unchanged_content_is_not_read_again(tmp_path: Path) -> None:
    """The same content comes back until the file changes, and a change does not touch it."""
    store = _store(_folder(tmp_path))
    _insert(store, 1)
    first = store.content()

    assert store.content() is first
    _insert(store, 2)
    assert len(first["t"]) == 1
    assert len(store.content()["t"]) == 2


def test_two_programs_lose_nothing_of_each_other(tmp_path: Path) -> None:
    """Four processes that insert at the same time leave every row of all."""
    folder = _folder(tmp_path)
    program = f"""
import sys
from pathlib import Path
from tests.record.files.test_tinystore import _folder, _insert, _store
store = _store(_folder(Path({str(tmp_path)!r})))
for number in range(15):
    _insert(store, int(sys.argv[1]) * 100 + number)
"""
    children = [subprocess.Popen([sys.executable, "-c", program, str(n)]) for n in range(4)]

    assert [child.wait(timeout=60) for child in children] == [0] * 4
    found = sorted(row["n"] for row in _store(folder).content()["t"].values())
    assert found == sorted(n * 100 + number for n in range(4) for number in range(15))


def test_a_killed_program_loses_nothing_that_it_was_told_is_kept(
    tmp_path: Path, tried: Tried
) -> None:
    """After kill -9, rows found are those acknowledged or one more, and the lock is free."""
    folder = _folder(tmp_path)
    program = f"""
from pathlib import Path
from tests.record.files.test_tinystore import _folder, _insert, _store
store = _store(_folder(Path({str(tmp_path)!r})))
for number in range(100_000):
    _insert(store, number)
    print(number, flush=True)
"""
    for wanted in (3, 8, 5):
        before = len(_store(folder).content().get("t", {}))
        with subprocess.Popen(
            [sys.executable, "-c", program], stdout=subprocess.PIPE, text=True
        ) as child:
            assert child.stdout
            told = sum(1 for _, _ in zip(range(wanted), child.stdout, strict=False))
            child.kill()
            told += sum(1 for line in child.stdout if line.endswith("\n"))
        found = len(_store(folder).content()["t"]) - before

        assert told <= found <= told + 1
        tried("kills", 1)
    _insert(_store(folder), -1)


def test_reading_does_not_import_tinydb(tmp_path: Path) -> None:
    """A start that only looks pays nothing for TinyDB or the lock."""
    _insert(_store(_folder(tmp_path)), 1)
    program = f"""
import sys
from pathlib import Path
from checklist.record.lookup.catalogue import Catalogue
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.lookup.registers import Registers
folder = LogFolder.open(Path({str(tmp_path)!r}), RealDisk(), RealClock())
Registers.open(folder).people(), Catalogue.open(folder).cards()
print(sorted({{"tinydb", "filelock", "cryptography", "textual"}} & set(sys.modules)))
"""
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )

    assert run.stdout.strip() == "[]"


def test_damage_names_the_file_and_the_reason() -> None:
    """StoreDamaged says where and what, in one sentence."""
    with pytest.raises(StoreDamaged) as refusal:
        tables_of(b'{"t":{"1":{"n":1,"n":1}}}', where="here.json")

    assert refusal.value.sentence() == (
        "here.json: the file is damaged: a name stands twice in one row"
    )


def _folder(path: Path, disk: RealDisk | None = None) -> LogFolder:
    return LogFolder.open(path, disk or RealDisk(), RealClock())


def _with(folder: LogFolder, disk: RealDisk) -> LogFolder:
    return replace(folder, disk=disk)


def _store(folder: LogFolder) -> TinyStore[Tables]:
    return TinyStore(folder, folder.registers, version=1, understand=lambda tables: tables)


def _insert(store: TinyStore[Tables], number: int) -> None:
    with store.change() as database:
        database.table("t").insert({"n": number})


def _put(folder: LogFolder, data: bytes) -> Path:
    folder.registers.write_bytes(data)
    folder.registers.chmod(0o600)
    return folder.registers

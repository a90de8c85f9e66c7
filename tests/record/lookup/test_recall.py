"""What was read once is read again exactly where its file changed."""

from __future__ import annotations

from pathlib import Path

from checklist.record.files.disk import RealDisk
from checklist.record.lookup.recall import Recall, read_each


def read(recall: Recall[bytes] | None, folder: Path, made: list[str]) -> list[bytes | str]:
    def make(name: str) -> bytes:
        made.append(name)
        return (folder / name).read_bytes()

    names = sorted(path.name for path in folder.iterdir())
    found = read_each(recall, RealDisk(), folder, [*names, "gone"], make)
    return [str(type(x).__name__) if isinstance(x, Exception) else x for _, x in found]


def test_only_what_changed_is_made_anew(tmp_path: Path) -> None:
    """A file written over, replaced or grown is read again; what cannot be read is tried again."""
    for name in "abc":
        (tmp_path / name).write_bytes(name.encode())
    recall, made = Recall[bytes](), list[str]()
    first = read(recall, tmp_path, made)
    second = read(recall, tmp_path, made)
    (tmp_path / "b").write_bytes(b"B")
    (tmp_path / "new").write_bytes(b"c")
    (tmp_path / "new").replace(tmp_path / "c")
    (tmp_path / "a").unlink()
    third = read(recall, tmp_path, made)

    assert first == second == [b"a", b"b", b"c", "FileNotFoundError"]
    assert third == [b"B", b"c", "FileNotFoundError"]
    assert made == ["a", "b", "c", "gone", "gone", "b", "c", "gone"]


def test_what_is_forgotten_is_made_anew(tmp_path: Path) -> None:
    """A file that may change while its mark stays is read again when that is asked for."""
    for name in "ab":
        (tmp_path / name).write_bytes(name.encode())
    recall, made = Recall[bytes](), list[str]()
    read(recall, tmp_path, made)
    recall.forget(["a", "never seen"])
    read(recall, tmp_path, made)

    assert made == ["a", "b", "gone", "a", "gone"]


def test_without_a_memory_everything_is_made(tmp_path: Path) -> None:
    """The same answers come, and nothing is kept."""
    (tmp_path / "a").write_bytes(b"a")
    made: list[str] = []

    assert read(None, tmp_path, made) == read(None, tmp_path, made)
    assert made == ["a", "gone"] * 2


def test_what_cannot_be_read_does_not_end_the_rest(tmp_path: Path) -> None:
    """A file in the middle that fails is told in its place, and those after it are read."""
    for name in "ac":
        (tmp_path / name).write_bytes(name.encode())

    def make(name: str) -> bytes:
        return (tmp_path / name).read_bytes()

    for recall in (Recall[bytes](), None):
        found = [made for _, made in read_each(recall, RealDisk(), tmp_path, "abc", make)]

        assert found[::2] == [b"a", b"c"]
        assert isinstance(found[1], FileNotFoundError)

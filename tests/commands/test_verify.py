"""A log folder verified from the command line."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest

from checklist.caution import BANNER
from checklist.commands.exits import NOT_SHOWN, REFUSED, WRONG
from tests.commands.conftest import Shell
from tests.record.making import open_folder, small_log


@pytest.fixture
def ids(logs: Path) -> dict[str, str]:
    """Fill the log folder with one session of each end."""
    return small_log(open_folder(logs))


def _hashes(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_unchanged_folder_cannot_tell_who_signed(shell: Shell, ids: dict[str, str]) -> None:
    """Nothing fails, and as nobody vouches for the signers, the number is 3 and never 0."""
    ran = shell("verify")

    assert ran.code == NOT_SHOWN
    assert "No change was found" in ran.out
    assert "FAILS" not in ran.out
    assert "the signature of Ben Marsh" in ran.out
    assert BANNER in ran.out


def test_copy_of_another_folder_is_not_changed(
    shell: Shell, logs: Path, ids: dict[str, str], tmp_path: Path
) -> None:
    """A folder that is named is read only: not one byte or file in it differs afterwards."""
    copy = tmp_path / "copy"
    shutil.copytree(logs, copy)
    before = _hashes(copy)
    ran = shell("verify", str(copy), "--json")

    assert ran.code == NOT_SHOWN
    assert ran.data["folder"] == str(copy)
    assert _hashes(copy) == before


def test_changed_line_fails(shell: Shell, logs: Path, ids: dict[str, str]) -> None:
    """One changed character in a session file is found, by name, and the number is 1."""
    path = logs / "sessions" / f"{ids['sealed']}.jsonl"
    path.write_bytes(path.read_bytes().replace(b"41 ft", b"91 ft"))
    page, data = shell("verify"), shell("verify", "--json").data
    failing = {check["subject"] for check in data["checks"] if check["outcome"] == "fails"}

    assert page.code == WRONG
    assert "This record does not hold" in page.out
    assert "FAILS: " in page.out
    assert failing == {f"session {ids['sealed']}"}


def test_one_session_alone(shell: Shell, logs: Path, ids: dict[str, str]) -> None:
    """With --session only that session and the ledger are checked, each check on its line."""
    other = logs / "sessions" / f"{ids['late']}.jsonl"
    other.write_bytes(b"")
    ran = shell("verify", "--session", ids["sealed"])

    assert ran.code == NOT_SHOWN
    assert f"session {ids['late']}" not in ran.out
    assert "holds: line hashes. " in ran.out


def test_damaged_origin_is_a_record_that_fails(
    shell: Shell, logs: Path, ids: dict[str, str]
) -> None:
    """A log folder whose own name is damaged fails, and is not mistaken for a wrong command."""
    (logs / "origin").write_bytes(b"x")
    ran = shell("verify", "--json")

    assert ran.code == WRONG
    assert ran.data["overall"] == "fails"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("verify", "/nowhere/at/all"), "nothing is there"),
        (("verify", "/"), "it holds no folder named sessions"),
        (("verify", "/dev/null"), "device or pipe"),
        (("verify", "--session", "abc"), "too short"),
        (("verify", "--session", "abcdef"), "no session's name begins with"),
        (("verify", "a\0b"), "null character"),
    ],
)
def test_what_is_no_log_folder_is_one_sentence(
    shell: Shell, ids: dict[str, str], arguments: tuple[str, ...], said: str
) -> None:
    """A folder or a session that is none is one sentence on stderr and number 2."""
    ran = shell(*arguments)

    assert (ran.code, ran.out) == (REFUSED, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1


def test_empty_log_folder(shell: Shell, logs: Path) -> None:
    """A folder in which nothing was walked yet is verified without a fault."""
    open_folder(logs)
    ran = shell("verify")

    assert ran.code == NOT_SHOWN
    assert "FAILS" not in ran.out

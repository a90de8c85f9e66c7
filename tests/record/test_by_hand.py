"""The page about the format tells a stranger how to check a session; these are its own commands."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.record.making import begin, finish, open_folder, person

PAGE = Path(__file__).parents[2] / "logs" / "README.md"

pytestmark = pytest.mark.skipif(
    not all(map(shutil.which, ("openssl", "sha256sum", "bash"))),
    reason="openssl, sha256sum and a shell are what is shown",
)


def blocks() -> list[str]:
    return re.findall(r"```sh\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)


def run(folder: Path) -> list[str]:
    """Run the page's commands in one shell and return what each block printed."""
    script = "\n".join(f"{block}\necho ====" for block in blocks())
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, capture_output=True, text=True, check=False
    )
    return done.stdout.split("====\n")


@pytest.fixture
def log(tmp_path: Path) -> Path:
    folder = open_folder(tmp_path / "logs")
    journal = begin(folder, "c" * 32)
    journal.append("answered", {"step": "lines", "typed": "41 ft"})
    finish(folder, journal, person(folder, "Ada Quill"), person(folder, "Ben Marsh"))
    journal.close()
    return folder.path


def test_the_page_proves_a_sound_session(log: Path) -> None:
    """With sha256sum, openssl and an editor alone, every claim of a sealed session is proved."""
    entry, file, lines, chain, signature, rule, *_ = run(log)

    assert "kind sealed" in entry
    computed, size, named = file.splitlines()
    assert f"{computed.split()[0]} {size.strip()}" == named
    name_hash, first_hash, second = lines.splitlines()
    first = json.loads((log / f"sessions/{'c' * 32}.jsonl").read_text().splitlines()[0])
    assert first["previous"] == name_hash.split()[0]
    assert json.loads(second)["previous"] == first_hash.split()[0]
    assert len({line.split()[0] for line in chain.splitlines()}) == 1
    assert "Ada Quill" in signature
    assert "Signature Verified Successfully" in signature
    kept, path = rule.split()
    assert path == f"rules/{kept}"


def test_the_page_finds_a_changed_entry(log: Path) -> None:
    """One changed letter in a signed entry, and openssl no longer says that it verifies."""
    path = log / "ledger/00000002.note"
    path.write_bytes(path.read_bytes().replace(b"no stop found", b"no stop fbund", 1))

    assert "Signature Verified Successfully" not in run(log)[4]


def test_the_page_finds_a_changed_session(log: Path) -> None:
    """One changed digit in the session's file, and sha256sum differs from the signed hash."""
    path = log / f"sessions/{'c' * 32}.jsonl"
    path.write_bytes(path.read_bytes().replace(b"41 ft", b"91 ft"))
    computed, _, named = run(log)[1].splitlines()

    assert computed.split()[0] != named.split()[0]

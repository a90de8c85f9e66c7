"""An exported session proves itself with sha256sum, openssl and the steps written beside it."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from checklist.audit.exporting import README, export
from checklist.errors import StandclearError
from tests.audit.logs import finished, sealed_ids
from tests.sessions.pastsessions import desk_at, walked

pytestmark = pytest.mark.skipif(
    not all(map(shutil.which, ("openssl", "sha256sum", "bash"))),
    reason="openssl, sha256sum and a shell are what the steps use",
)


def commands(folder: Path) -> list[str]:
    """Return the steps' own commands: blocks of lines that begin with four blanks."""
    text = (folder / README).read_text(encoding="utf-8")
    blocks: list[list[str]] = [[]]
    for line in text.splitlines():
        if line.startswith("    "):
            blocks[-1].append(line[4:])
        elif blocks[-1]:
            blocks.append([])
    return ["\n".join(block) for block in blocks if block]


def run(folder: Path) -> list[str]:
    script = "\n".join(f"{block}\necho ====" for block in commands(folder))
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, capture_output=True, text=True, check=False
    )
    return done.stdout.split("====\n")


@pytest.fixture
def exported(tmp_path: Path) -> Path:
    desk = finished(tmp_path)
    late = sealed_ids(desk)[1]
    export(desk.folder, late, tmp_path / "out")
    return tmp_path / "out"


def test_the_steps_prove_a_sound_session(exported: Path) -> None:
    """Every line of every step says what the page promises, the late signature included."""
    sums, file, rule, chain, *signatures = run(exported)

    assert all(line.endswith("OK") for line in sums.splitlines())
    assert len(sums.splitlines()) > 5
    digest, size, named = file.splitlines()
    assert f"{digest.split()[0]} {size.strip()}" == named
    stated, found = rule.splitlines()
    assert found.split()[0] == stated
    before, previous = chain.splitlines()
    assert before.split()[0] == previous
    verified = [said for said in signatures if "Signature Verified Successfully" in said]
    assert len(verified) == 2
    assert "Tamsin Reed" in verified[0]
    assert "Orrin Vale" in verified[1]


@pytest.mark.parametrize("part", ["ledger", "sessions", "rules"])
def test_the_steps_find_one_changed_byte(exported: Path, part: str) -> None:
    """Whatever is changed, even with SHA256SUMS made anew, a later step no longer agrees."""
    sound = run(exported)
    path = sorted((exported / part).iterdir())[-1]
    data = path.read_bytes()
    path.write_bytes(data[:200] + bytes([data[200] ^ 1]) + data[201:])
    names = [line.split("  ", 1)[1] for line in (exported / "SHA256SUMS").read_text().splitlines()]
    new = subprocess.run(["sha256sum", *names], cwd=exported, capture_output=True, check=True)
    (exported / "SHA256SUMS").write_bytes(new.stdout)
    assert all(line.endswith("OK") for line in run(exported)[0].splitlines())

    if part == "rules":
        digest = subprocess.run(["sha256sum", path.name], cwd=path.parent, capture_output=True,
                                text=True, check=True)  # fmt: skip
        assert digest.stdout.split()[0] != path.name
    else:
        assert run(exported)[1:] != sound[1:]


def test_copies_are_byte_for_byte(tmp_path: Path) -> None:
    """What is exported is what stands in the log folder, and the folder is new and the owner's."""
    desk = finished(tmp_path)
    files = export(desk.folder, sealed_ids(desk)[0], tmp_path / "out")
    copies = [p for p in files if p.parent.name in {"ledger", "sessions", "rules"}]

    assert len(copies) > 3
    assert all(p.read_bytes() == (desk.logs / p.parent.name / p.name).read_bytes() for p in copies)
    assert (tmp_path / "out").stat().st_mode & 0o077 == 0


def test_what_cannot_be_exported_is_refused(tmp_path: Path) -> None:
    """A name that is taken, a folder that is missing, a walk that runs: one sentence, no file."""
    desk = finished(tmp_path)
    sealed_id = sealed_ids(desk)[0]
    (tmp_path / "taken").mkdir()
    with pytest.raises(StandclearError, match="taken"):
        export(desk.folder, sealed_id, tmp_path / "taken")
    (tmp_path / "link").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(StandclearError, match="taken"):
        export(desk.folder, sealed_id, tmp_path / "link")
    with pytest.raises(StandclearError, match="no such folder"):
        export(desk.folder, sealed_id, tmp_path / "no" / "out")
    running = walked(desk_at(tmp_path / "other"))
    running.close()
    with pytest.raises(StandclearError, match="has not ended"):
        export(desk_at(tmp_path / "other").folder, running.id, tmp_path / "out")

    assert not (tmp_path / "out").exists()
    assert not (tmp_path / "elsewhere").exists()

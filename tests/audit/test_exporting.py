"""An exported session proves itself with sha256sum, openssl and the steps written beside it."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from checklist.audit.exporting import README, export
from checklist.errors import StandclearError
from checklist.record.journals.seal import Signing
from checklist.record.journals.states import session_states
from checklist.sessions.past.correcting import correct
from checklist.sessions.past.correcting import finished as correctable
from checklist.walk.entry import read_answer
from tests.audit.logs import finished, sealed_ids
from tests.sessions.evaluations import desk_for_evaluation, station_at
from tests.sessions.pastsessions import desk_at, key_of, sealed, walked
from tests.sessions.stations.test_staleness import finished as evaluated


def has_the_tools() -> bool:
    """Say whether a shell, sha256sum and OpenSSL 3 are here, as the steps ask."""
    if not all(map(shutil.which, ("openssl", "sha256sum", "bash"))):
        return False
    said = subprocess.run(["openssl", "version"], capture_output=True, text=True, check=False)
    return said.stdout.startswith("OpenSSL 3.")


pytestmark = pytest.mark.skipif(
    not has_the_tools(), reason="OpenSSL 3, sha256sum and a shell are what the steps use"
)


def commands(folder: Path) -> list[str]:
    """Return the steps' own commands, from the exported text: lines that begin with four blanks."""
    text = (folder / README).read_text(encoding="utf-8")
    blocks: list[list[str]] = [[]]
    for line in text.splitlines():
        if line.startswith("    "):
            blocks[-1].append(line[4:])
        elif blocks[-1]:
            blocks.append([])
    return ["\n".join(block) for block in blocks if block]


def hash_is_name(line: str) -> bool:
    """Say whether a line of sha256sum names a file by its own hash."""
    digest, name = line.split()
    return Path(name).name == digest


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
    sums, file, rule, named, chain, *signatures = run(exported)

    assert all(line.endswith("OK") for line in sums.splitlines())
    assert len(sums.splitlines()) > 5
    digest, size, mark = file.splitlines()
    assert f"{digest.split()[0]} {size.strip()}" == mark
    stated, found = rule.splitlines()
    assert found.split()[0] == stated
    assert len(named.splitlines()) > 3
    assert all(hash_is_name(line) for line in named.splitlines())
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

    assert run(exported)[1:] != sound[1:]
    if part == "rules":
        named = run(exported)[3].splitlines()
        assert [hash_is_name(line) for line in named].count(False) == 1


def test_the_steps_prove_a_corrected_session_with_what_it_names(tmp_path: Path) -> None:
    """The correction's own signature is verified, and the files that it names have their hashes."""
    desk = desk_for_evaluation(tmp_path)
    session_id = evaluated(desk, station_at(tmp_path))
    step = correctable(desk.folder, session_id).loaded.rule_file.step("network")
    answer = read_answer(step, {"file": str(station_at(tmp_path))})
    signer = Signing("Wren Holloway", "in charge", key_of(desk, "Wren Holloway"))
    correct(desk.folder, session_id, "network", answer, "looked again", signer, desk.library)
    export(desk.folder, session_id, tmp_path / "out")
    sums, _, _, named, chain, first, second = run(tmp_path / "out")[:-1]

    assert all(line.endswith("OK") for line in sums.splitlines())
    assert chain
    assert all("Signature Verified Successfully" in said for said in (first, second))
    assert all(hash_is_name(line) for line in named.splitlines())
    assert any("attachments/" in line for line in named.splitlines())


def test_the_steps_say_that_nobody_signed_what_was_given_up(tmp_path: Path) -> None:
    """A session that was given up is exported without a step for signatures, and says so."""
    desk = finished(tmp_path)
    given_up = next(i for i, s in session_states(desk.folder).items() if s.state.value ==
                    "abandoned")  # fmt: skip
    export(desk.folder, given_up, tmp_path / "out")
    sums, file, rule, named, chain = run(tmp_path / "out")[:-1]

    assert all(line.endswith("OK") for line in sums.splitlines())
    assert rule.split()[0] == rule.split()[1]
    assert all(hash_is_name(line) for line in named.splitlines())
    assert file
    assert chain
    assert "Nobody signed this session" in (tmp_path / "out" / README).read_text("utf-8")


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


def test_the_steps_say_who_has_not_signed(tmp_path: Path) -> None:
    """Of a session that is not sealed a stranger sees whose signature is missing, by a step."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")
    export(desk.folder, session.id, tmp_path / "out")
    steps = (tmp_path / "out" / README).read_text("utf-8")
    said = [piece for piece in run(tmp_path / "out") if " missing " in piece]

    assert "SOMEBODY HAS NOT SIGNED" in steps
    assert len(said) == 1
    assert said[0].startswith("signer none missing worker Orrin Vale")

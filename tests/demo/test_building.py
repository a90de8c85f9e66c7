"""The invented club: the same every time, made through the program, never to be taken for real."""

from __future__ import annotations

import hashlib
import re
import shlex
from datetime import date
from pathlib import Path

import pytest

from checklist.__main__ import main
from checklist.commands.exits import FAULT, REFUSED
from checklist.demo.building import build
from checklist.demo.cast import CAST, CLUB, LAPTOPS, PASSPHRASE
from checklist.demo.club import LOGS, Club
from checklist.demo.copies import COPIES, TAMPERED
from checklist.demo.diary import diary
from checklist.demo.happenings import Walked
from checklist.demo.telling import PAGE
from checklist.errors import StandclearError
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.roll.keys import keys_of, unlock
from checklist.record.verifying.verify import verify
from checklist.sessions.invented import MARK, is_invented
from checklist.sessions.library import Library
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import read_session_file
from checklist.sessions.tagging.tags import look_at_tags
from checklist.walk.events import Noted
from tests.demo.comparing import all_logs
from tests.independent_verifier import flaws


def files_of(folder: Path) -> dict[str, str]:
    """Return the SHA-256 of every file, by its place; private keys by their place alone."""
    return {
        str(path.relative_to(folder)): (
            "" if path.suffix == ".key" else hashlib.sha256(path.read_bytes()).hexdigest()
        )
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_the_same_seed_gives_the_same_bytes_and_another_does_not(
    tmp_path: Path, other: Club
) -> None:
    """Two builds at one place agree in every byte, private key files aside; another seed never."""
    place = tmp_path / "club"
    build(place, whole_year=False)
    place.rename(tmp_path / "first")
    build(place, whole_year=False)
    first, second = files_of(tmp_path / "first"), files_of(place)

    assert first == second
    assert len([name for name in first if name.endswith(".key")]) == sum(
        len(laptop.people) for laptop in LAPTOPS
    ) + sum(len(laptop.people) for laptop in LAPTOPS if laptop.is_for_the_field)
    for kind in ("sessions/*.jsonl", "keys/*.key"):
        ours = {path.name for path in place.rglob(kind)}

        assert ours
        assert ours.isdisjoint(path.name for path in other.folder.rglob(kind))


def test_a_folder_with_something_in_it_is_refused(tmp_path: Path) -> None:
    """Nothing is written beside what somebody has there already."""
    (tmp_path / "letter.txt").write_text("keep me", encoding="utf-8")

    with pytest.raises(StandclearError, match="something stands in this folder"):
        build(tmp_path)

    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_building_that_is_stopped_leaves_nothing(tmp_path: Path) -> None:
    """Stopped in the middle, all that was begun is taken away again."""

    def stop(done: int, of: int) -> None:
        if done > 4:
            raise StandclearError(f"stopped at {done} of {of}")

    with pytest.raises(StandclearError, match="stopped"):
        build(tmp_path / "club", whole_year=False, tell=stop)

    assert list((tmp_path / "club").iterdir()) == []


def test_every_shipped_rule_file_is_walked_and_sealed(club: Club) -> None:
    """All seven rule files are in the year, and in its small form too."""
    walked = {one.rule for one in diary(whole_year=False) if isinstance(one, Walked)}

    assert walked == set(Library().names())
    assert len(walked) == 7
    assert len(list(club.desks["hill"].logs.glob("sessions/*.jsonl"))) > 8


def test_no_call_sign_can_be_allocated() -> None:
    """No series of call signs begins with Q, and an amateur's suffix has at most 4 characters.

    ITU Radio Regulations, appendix 42 and article 19.68; from memory.
    """
    for player in CAST:
        assert re.fullmatch(r"QQ0[A-Z]{5}", player.call_sign)


def test_every_session_says_that_it_is_invented(club: Club) -> None:
    """A note at the head of each session names the invented club and an invented place."""
    count = 0
    for logs in all_logs(club.folder):
        folder = LogFolder.look(logs, RealDisk(), RealClock())
        for path in sorted(folder.sessions.glob("*.jsonl")):
            data = path.read_bytes()

            assert CLUB.encode() in data
            assert b"This session is invented." in data
            count += 1
        assert is_invented(logs)
        assert "INVENTED" in (logs / MARK).read_text(encoding="utf-8")

    assert count == len(club.sessions) + 4  # one of each of the copies' originals is there twice


def test_the_note_stands_before_every_answer(club: Club) -> None:
    """The first thing in a session is where it was, and that it is invented."""
    file = read_session_file(club.logs("hill"), club.sessions["climb"])
    first = events_of(file.lines)[0][0]

    assert isinstance(first, Noted)
    assert first.text.startswith(CLUB)


def test_everybody_opens_a_key_with_the_passphrase_that_is_shown(club: Club) -> None:
    """INVENTED.txt shows the one passphrase, and it opens every key on every laptop."""
    assert PASSPHRASE in (club.folder / PAGE).read_text(encoding="utf-8")

    for laptop in LAPTOPS:
        folder = club.logs(laptop.name)
        for card in keys_of(folder):
            assert unlock(folder, card, PASSPHRASE).public == card.public


def test_logs_of_other_laptops_were_read_in_the_field(club: Club) -> None:
    """One field laptop knows what the two others tell."""
    origins = {log.origin for log in look_at_tags(club.logs("field-1")).logs}

    assert origins == {club.logs("field-2").origin, club.logs("field-3").origin}


def test_the_program_itself_verifies_the_hill(club: Club) -> None:
    """The records were made by the program: its own verification finds nothing that fails."""
    report = verify(club.logs("hill"))

    assert [check.sentence for check in report.checks if check.outcome.value == "fails"] == []


def test_a_verifier_that_shares_no_code_agrees(club: Club) -> None:
    """By itself only the tampered copy is not in order; the two others need receipts to show."""
    wrong = {logs for logs in all_logs(club.folder) if flaws(logs)}

    assert wrong == {club.folder / COPIES / TAMPERED / LOGS}


def test_every_command_in_the_page_can_be_typed(
    club: Club, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What INVENTED.txt tells a newcomer to type is understood, and refused nowhere."""
    monkeypatch.chdir(club.folder)
    text = (club.folder / PAGE).read_text(encoding="utf-8")
    lines = [line.strip() for line in text.splitlines()]
    typed = [line for line in lines if line.startswith("standclear ") and " --logs" in line]
    count = 0
    for line in dict.fromkeys(typed):
        words = shlex.split(line)[1:]
        expanded = [
            str(path)
            for word in words
            for path in (sorted(Path().glob(word)) if "*" in word else [word])
        ]
        if len(expanded) == 2:  # opens the screens
            continue
        number = main(expanded)

        assert number not in {REFUSED, FAULT}, (line, capsys.readouterr())
        count += 1

    assert count > 10


def test_the_club_is_small(club: Club) -> None:
    """It fits on any stick: less than 20 MB."""
    size = sum(path.stat().st_size for path in club.folder.rglob("*") if path.is_file())

    assert size < 20e6


def test_another_last_day_moves_the_year(other: Club) -> None:
    """The year ends on the day that was asked for."""
    assert other.first_day.date() == date(2026, 3, 2)
    assert "the year up to 2027-03-01" in (other.folder / PAGE).read_text(encoding="utf-8")

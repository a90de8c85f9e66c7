"""Corrections are added and signed; nothing that stands is changed, and both results are shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.errors import StandclearError
from checklist.record.errors import EntryRefused
from checklist.record.journals.seal import Signing
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.verifying.report import Outcome
from checklist.sessions.desk import Desk
from checklist.sessions.lasttime import last_time
from checklist.sessions.overview import overview
from checklist.sessions.past.correcting import correct, finished
from checklist.sessions.past.correctionentry import read_correction
from checklist.sessions.past.finding import find
from checklist.sessions.past.recorddata import as_data
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from checklist.walk.answers import Said
from checklist.walk.entry import read_answer
from checklist.walk.wording import answer_text
from tests.audit.logs import audited, failing, files_of, said
from tests.sessions.pastsessions import NAME, desk_at, key_of, sealed, walked


def corrected(desk: Desk, session_id: str, typed: str = "10 ft", why: str = "misread") -> Recorded:
    step = finished(desk.folder, session_id).loaded.rule_file.step("distance")
    answer = read_answer(step, typed, instrument="tape 1")
    signer = Signing("Tamsin Reed", "in charge", key_of(desk, "Tamsin Reed"))
    return correct(desk.folder, session_id, "distance", answer, why, signer)


def sealed_session(path: Path) -> tuple[Desk, str]:
    desk = desk_at(path)
    session = walked(desk)
    sealed(desk, session)
    return desk, session.id


def test_a_correction_adds_and_changes_nothing(tmp_path: Path) -> None:
    """Every file that stood there has the same bytes; one entry is new and names the ending."""
    desk, session_id = sealed_session(tmp_path)
    before = files_of(desk.logs)
    entry = corrected(desk, session_id)
    after = files_of(desk.logs)
    [new] = after.keys() - before.keys()

    assert {name: after[name] for name in before} == before
    assert new == f"ledger/{entry.entry.number:08}.note"
    assert entry.entry.field("step") == "distance"
    assert entry.entry.target is not None


def test_the_result_is_made_anew_and_both_are_shown(tmp_path: Path) -> None:
    """10 ft to the door is under the 20 ft of the CDC's page: what was clear is now stopped."""
    desk, session_id = sealed_session(tmp_path)
    correction = read_correction(corrected(desk, session_id), desk.folder)
    text = "\n".join(as_text(record := read_session(desk, session_id)))

    assert (correction.before, correction.after) == ("no stop found", "stopped")
    assert "CORRECTED AFTERWARDS" in text
    assert "30 ft" in text
    assert "10 ft" in text
    assert "is now “stopped”" in text
    assert "CORRECTED" in record.result
    assert as_data(record)["corrections"][0]["after"] == "stopped"
    assert [card.session_id for card in find(desk, verdict="stopped")] == [session_id]
    assert find(desk, verdict="no stop found") == ()


def test_a_second_correction_rests_on_the_first(tmp_path: Path) -> None:
    """What was corrected can be corrected again; its `before` is what the first one made of it."""
    desk, session_id = sealed_session(tmp_path)
    corrected(desk, session_id)
    again = read_correction(corrected(desk, session_id, "25 ft", "measured once more"), desk.folder)

    assert (again.before, again.after) == ("stopped", "no stop found")


def test_the_audit_looks_at_every_correction(tmp_path: Path) -> None:
    """A correction that holds is a warning with both results; the rest of the log still holds."""
    desk, session_id = sealed_session(tmp_path)
    corrected(desk, session_id)
    report = audited(desk.logs)

    assert failing(report) == []
    assert [outcome for outcome, _ in said(report, "corrections")] == ["warning"]
    assert report.overall is Outcome.CANNOT_TELL


def test_the_corrected_answer_is_the_one_that_is_offered_again(tmp_path: Path) -> None:
    """What was answered wrongly the last time is not put before people a second time."""
    desk, session_id = sealed_session(tmp_path)
    before = last_time(desk.folder, NAME).answers["distance"]
    corrected(desk, session_id, "25 ft", "misread")
    after = last_time(desk.folder, NAME).answers["distance"]

    assert "30 ft" in answer_text(before)
    assert "25 ft" in answer_text(after)


def test_a_corrected_result_counts_as_a_check_only_while_it_is_good(tmp_path: Path) -> None:
    """Still good after a correction it is not overdue; once it is stopped, no check was made."""
    desk, session_id = sealed_session(tmp_path)
    corrected(desk, session_id, "25 ft", "misread")
    still = said(audited(desk.logs), "overdue")
    corrected(desk, session_id, "10 ft", "misread again")

    assert [outcome for outcome, _ in still] == ["holds"]
    assert "lasts until" in still[0][1]
    assert said(audited(desk.logs), "overdue") == []


def test_a_correction_with_a_forged_result_is_told(tmp_path: Path) -> None:
    """A signed entry whose result does not follow from its answer never passes unsaid."""
    desk, session_id = sealed_session(tmp_path)
    entry = corrected(desk, session_id).entry
    fields = tuple((n, "no stop found" if n == "after" else t) for n, t in entry.fields)
    draft = Draft(
        entry.kind, entry.session, target=entry.target, signers=entry.signers, fields=fields
    )
    Ledger(desk.folder).append(draft, [key_of(desk, "Tamsin Reed")])

    assert "cannot tell" in [outcome for outcome, _ in said(audited(desk.logs), "corrections")]


def test_what_cannot_be_corrected_is_refused(tmp_path: Path) -> None:
    """A running walk, an empty reason, an unknown step, a missing signature: one sentence each."""
    desk, session_id = sealed_session(tmp_path)
    with pytest.raises(EntryRefused, match="no reason"):
        corrected(desk, session_id, why="...")
    signer = Signing("Tamsin Reed", "in charge", key_of(desk, "Tamsin Reed"))
    running = walked(desk, lock="9")
    running.close()
    with pytest.raises(EntryRefused, match="running"):
        corrected(desk, running.id)
    with pytest.raises(StandclearError):
        correct(desk.folder, session_id, "nothing", Said("yes"), "misread", signer)
    unsigned = Signing("Tamsin Reed", "in charge")
    with pytest.raises(EntryRefused, match="needs a signature"):
        correct(desk.folder, session_id, "clear", Said("yes"), "misread", unsigned)

    assert not any(b"kind corrected" in data for data in files_of(desk.logs).values())


def test_lists_and_home_show_what_a_session_came_to_after_its_correction(tmp_path: Path) -> None:
    """A clear result that a correction turned into stopped is nowhere listed as clear any more."""
    desk, session_id = sealed_session(tmp_path)
    corrected(desk, session_id)
    [card] = find(desk)
    [past] = overview(desk).last

    assert card.session_id == session_id
    assert card.verdict == "CORRECTED, now stopped"
    assert past.result == past.brief == "CORRECTED, now stopped"

"""The audit of a safety officer: whose keys, which receipts, and what was seen before."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from checklist.audit.auditing import AuditStopped, audit_paths, wanted_at
from checklist.audit.countersigning import countersign
from checklist.audit.report import AuditFinding, AuditReport
from checklist.audit.wording import as_data, as_text, side_by_side
from checklist.commands.audit import audit_folders
from checklist.commands.exits import WARNED, WRONG
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.journals.seal import Signing
from checklist.record.roll.appointing import appoint
from checklist.record.roll.receiving import receive_folder
from checklist.record.roll.spoken import key_code
from checklist.record.verifying.report import Outcome
from checklist.sessions.roll.people import Change, change, revoke
from tests.audit.logs import failing, said
from tests.audit.officers import ORRIN, TAMSIN, Post, cut, enrol, make_post
from tests.sessions.pastsessions import desk_at, key_of, sealed, walked


@pytest.fixture
def post(tmp_path: Path) -> Post:
    return make_post(tmp_path)


def found(report: AuditReport, check: str) -> list[AuditFinding]:
    return [f for f in report.findings if f.check == check]


def outcomes(report: AuditReport, check: str) -> set[str]:
    return {outcome.value for name, outcome, _ in report.counts if name == check}


def test_a_sound_log_with_a_receipt_holds_throughout(post: Post) -> None:
    """Whose keys, the roster, the tail and what was seen before hold; only the tag is open."""
    report = post.audit()

    for check in ("identity", "roster", "receipts", "tail", "seen before", "signatures", "order"):
        assert outcomes(report, check) == {"holds"}, check
    assert failing(report) == []
    assert {f.check for f in report.findings if f.outcome is Outcome.CANNOT_TELL} == set()
    assert found(report, "tail")[0].sentence == "Every entry is covered by a receipt."


def test_what_came_after_the_last_receipt_is_a_tail_that_cannot_be_told(post: Post) -> None:
    """Entries without a receipt are counted, with the days that the oldest of them waits."""
    post.walk("7")
    post.clock.pass_time(3 * 86400)
    report = post.audit()

    assert outcomes(report, "tail") == {"cannot tell"}
    assert "3 entries are without a receipt, the oldest for 3 days" in said(report, "tail")[0][1]
    assert outcomes(report, "receipts") == {"holds"}


def test_a_revoked_key_fails_from_then_on_and_holds_before_under_a_receipt(post: Post) -> None:
    """What was signed before the loss, and under a receipt, holds; what is dated after fails."""
    post.clock.pass_time(3600)
    revoke(post.officer.folder, post.wilma, ORRIN, "", "laptop stolen")
    before = post.audit()
    post.walk("7")
    after = post.audit()

    assert outcomes(before, "identity") == {"holds"}
    assert outcomes(after, "identity") == {"holds", "fails"}
    [failed] = [f for f in found(after, "identity") if f.outcome is Outcome.FAILS]
    assert "was revoked" in failed.sentence
    assert failed.session


def test_without_a_receipt_the_time_before_a_loss_cannot_be_told(post: Post) -> None:
    """A thief can write any date: what no receipt from before covers is not told."""
    session = post.walk("7")
    post.clock.pass_time(3600)
    revoke(post.officer.folder, post.wilma, ORRIN, "", "laptop stolen")
    report = post.audit()
    [open_question] = [f for f in found(report, "identity") if f.outcome is Outcome.CANNOT_TELL]

    assert open_question.session == session
    assert failing(report) == []


def test_a_key_that_is_in_no_roster_fails(post: Post) -> None:
    """Somebody whose key the officer never saw signs: the entry fails, by name."""
    session = walked(post.station, lock="8")
    verdict = str(session.end().verdict)
    from checklist.record.journals.seal import seal

    signings = [
        Signing("Bram Ost", "in charge", key_of(post.station, "Bram Ost")),
        Signing(ORRIN, "worker", key_of(post.station, ORRIN)),
    ]
    seal(post.station.folder, session.kept_in()[1], verdict=verdict, signings=signings)
    session.close()
    failed = failing(post.audit())

    assert [f.check for f in failed] == ["identity"]
    assert "Bram Ost is not in the roster" in failed[0].sentence


def test_a_key_that_has_run_out_fails(post: Post) -> None:
    """An entry dated after the end of a key's validity fails; the ones before hold."""
    post.clock.pass_time(86400)
    day = post.clock.wall.date().isoformat()
    change(post.officer.folder, post.wilma, TAMSIN, Change(until=day))
    post.clock.pass_time(2 * 86400)
    post.walk("7")
    report = post.audit()

    assert ["ran out on" in f.sentence for f in failing(report)] == [True]
    assert outcomes(report, "identity") == {"holds", "fails"}


def test_a_role_that_the_roster_does_not_give_fails(post: Post) -> None:
    """A worker who signs as in charge has a sound signature and no right to the role."""
    session = walked(post.station, lock="8")
    verdict = str(session.end().verdict)
    from checklist.record.journals.seal import seal

    signings = [
        Signing(ORRIN, "in charge", key_of(post.station, ORRIN)),
        Signing(TAMSIN, "worker", key_of(post.station, TAMSIN)),
    ]
    seal(post.station.folder, session.kept_in()[1], verdict=verdict, signings=signings)
    session.close()

    assert {f.sentence.split(": ")[1] for f in failing(post.audit())} == {
        f"{ORRIN} may not sign as in charge by the roster of that day.",
        f"{TAMSIN} may not sign as worker by the roster of that day.",
    }


def test_the_roster_of_another_officer_cannot_be_told(tmp_path: Path) -> None:
    """A station of another club: its receipts and its officer are unknown here, and its people."""
    here, there = make_post(tmp_path / "here"), make_post(tmp_path / "there")
    report = here.audit(there.station.logs)

    assert outcomes(report, "roster") == {"cannot tell"}
    assert outcomes(report, "receipts") == {"cannot tell"}
    assert outcomes(report, "seen before") == {"cannot tell"}
    assert outcomes(report, "identity") == {"fails"}
    assert outcomes(report, "tail") == {"cannot tell"}


def test_an_officer_who_changed_is_told_until_the_station_knows(post: Post) -> None:
    """After a new officer was signed in, earlier receipts hold and the station is behind."""
    from checklist.sessions.roll.people import ask_to_enrol, enrol_from

    bram = key_of(post.officer, "Bram Ost")
    data = ask_to_enrol(post.officer.folder, bram, roles=["safety officer"])
    enrol_from(post.officer.folder, post.wilma, data, key_code(bram.public), as_officer=True)
    report = post.audit()

    assert outcomes(report, "receipts") == {"holds"}
    assert outcomes(report, "roster") == {"warning"}
    assert "Send the roster" in found(report, "roster")[0].sentence
    assert failing(report) == []
    post.send_roster()
    assert outcomes(post.audit(), "roster") == {"holds"}


def test_a_station_with_an_old_roster_is_a_warning(post: Post) -> None:
    """Keys revoked since still count there, and the officer is told to send the roster."""
    revoke(post.officer.folder, post.wilma, ORRIN, "", "laptop stolen")
    report = post.audit()

    assert outcomes(report, "roster") == {"warning"}
    assert "keys revoked since still count there" in found(report, "roster")[0].sentence


def test_a_station_that_pinned_nobody_is_a_warning(tmp_path: Path) -> None:
    """A folder that was never seen and relies on nobody: each is said, nothing is invented."""
    post = make_post(tmp_path)
    alone = desk_at(tmp_path / "alone", post.clock)
    sealed(alone, walked(alone))
    report = post.audit(alone.logs)

    assert outcomes(report, "roster") == {"warning"}
    assert outcomes(report, "seen before") == {"cannot tell"}
    assert "never seen here" in found(report, "seen before")[0].sentence
    assert outcomes(report, "receipts") == set()


def test_truncation_fails_and_shows_the_entry_that_is_gone(post: Post) -> None:
    """Cut off with its receipts: the officer's own receipt fails, with the note seen before."""
    length = len(list(post.station.logs.glob("ledger/*.note")))
    cut(post.station.logs, length - 1)
    report = post.audit()
    [gone] = found(report, "seen before")

    assert outcomes(report, "receipts") == {"fails"}
    assert outcomes(report, "tail") == {"cannot tell"}
    assert gone.outcome is Outcome.FAILS
    assert (gone.entry, len(gone.evidence)) == (length, 1)
    assert gone.evidence[0].note.startswith("standclear ledger entry 1\n")
    assert "What to do: ask the station for its newest folder" in gone.sentence
    assert str(post.officer.logs / "received" / post.station.folder.origin) in gone.sentence


def test_a_lock_whose_entry_was_cut_off_still_hangs(post: Post) -> None:
    """What the officer saw of a tag is said, although the folder that is handed in lacks it."""
    whole = {f.sentence.split(" hangs at ")[0] for f in found(post.audit(), "tags")}
    cut(post.station.logs, 1)
    tags = found(post.audit(), "tags")

    assert whole == {"Lock 3 of Tamsin Reed"}
    assert [f.outcome for f in tags] == [Outcome.WARNING]
    assert tags[0].sentence.startswith("Lock 3 of Tamsin Reed hangs at breaker 3 since")
    assert "is not in this folder. The lock at the point decides" in tags[0].sentence


def test_two_histories_fail_with_both_notes_side_by_side(post: Post, tmp_path: Path) -> None:
    """Rolled back and walked anew: the first entry that differs is shown in both versions."""
    start = len(list(post.station.logs.glob("ledger/*.note")))
    shutil.copytree(post.station.logs, tmp_path / "before")
    post.walk("7")
    post.receipt()
    shutil.rmtree(post.station.logs)
    shutil.copytree(tmp_path / "before", post.station.logs)
    post.walk("8")
    report = post.audit()
    [both] = found(report, "seen before")
    rows = side_by_side(both.evidence)
    text = "\n".join(as_text(report))

    assert outcomes(report, "receipts") == {"fails", "holds"}
    assert both.outcome is Outcome.FAILS
    assert both.entry == start + 1
    assert [e.where for e in both.evidence] == ["seen here before", str(post.station.logs)]
    assert "What to do: change neither, ask who worked from which" in both.sentence
    assert any(row.startswith("1  session ") for row in rows)
    assert any(row.startswith("2  session ") for row in rows)
    assert "   standclear ledger entry 1" in rows
    assert all(row in text for row in rows)
    [data] = [f for f in as_data(report)["findings"] if f["check"] == "seen before"]
    assert [e["note"] for e in data["evidence"]] == [e.note for e in both.evidence]


def test_a_history_that_was_refused_stays_evidence(post: Post, tmp_path: Path) -> None:
    """After the sound copy came back, the audit still shows the other one that was handed in."""
    shutil.copytree(post.station.logs, tmp_path / "before")
    post.walk("7")
    post.receipt()
    shutil.copytree(post.station.logs, tmp_path / "sound")
    shutil.rmtree(post.station.logs)
    shutil.copytree(tmp_path / "before", post.station.logs)
    with pytest.raises(Damaged):
        post.receipt()
    post.walk("8")
    with pytest.raises(Damaged):
        post.receipt()
    report = post.audit(tmp_path / "sound")
    kept = {f.outcome: f for f in found(report, "evidence")}

    assert kept.keys() == {Outcome.FAILS, Outcome.WARNING}
    assert len(kept[Outcome.FAILS].evidence) == 2
    assert "ended at entry" in kept[Outcome.WARNING].sentence
    assert "What to do: ask who handed it in" in kept[Outcome.WARNING].sentence
    assert "What to do: compare the two notes" in kept[Outcome.FAILS].sentence
    assert outcomes(report, "seen before") == {"holds"}


def test_an_empty_ledger_is_covered_by_nothing(tmp_path: Path) -> None:
    """No entry is no proof that there never was one; with a receipt it is a cut."""
    post = make_post(tmp_path)
    empty = desk_at(tmp_path / "empty", post.clock).folder
    cut(post.station.logs, 0)
    report = post.audit(empty.path)

    assert outcomes(report, "tail") == {"cannot tell"}
    assert "no entry" in found(report, "tail")[0].sentence
    assert outcomes(post.audit(), "receipts") == {"fails"}


def test_damaged_memory_is_never_a_pass(post: Post) -> None:
    """Where what the officer kept cannot be read, the comparison cannot be told."""
    base = post.officer.logs / "received" / post.station.folder.origin
    path = next(base.glob("*.entries"))
    path.write_bytes(path.read_bytes()[:-9])

    assert outcomes(post.audit(), "seen before") == {"cannot tell"}


def test_the_command_shows_both_notes_and_ends_by_the_gravest(
    post: Post, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 5 for a sound log with an open tag, 1 after a cut, the same in JSON."""
    audit = {"recompute": False, "officer": ""}
    assert audit_folders(post.officer, [post.station.logs], as_json=False, **audit) == WARNED  # type: ignore[arg-type]  # keywords as they are
    assert "It goes on from everything that was seen of it here" in capsys.readouterr().out
    cut(post.station.logs, 4)
    assert audit_folders(post.officer, [post.station.logs], as_json=True, **audit) == WRONG  # type: ignore[arg-type]  # keywords as they are
    data = json.loads(capsys.readouterr().out)

    assert data["folders"][0]["fails"] >= 2
    assert any(f["check"] == "seen before" and f["evidence"] for f in data["findings"])


def test_only_the_officer_of_the_roster_countersigns(post: Post) -> None:
    """With a roster in force, calling oneself safety officer is not enough."""
    report = post.audit()
    stranger = Signing("Bram Ost", "safety officer", key_of(post.officer, "Bram Ost"))
    with pytest.raises(EntryRefused, match="not in the roster"):
        countersign(post.officer.folder, report, stranger)
    entry = countersign(
        post.officer.folder, report, Signing(post.wilma.person, "safety officer", post.wilma)
    )

    assert entry.entry.kind == "audited"


def test_an_audit_can_be_stopped_and_tells_how_far_it_is(post: Post) -> None:
    """Every folder is named with how far it is; what the listener raises ends the audit at once."""
    told: list[tuple[str, str]] = []

    def listen(folder: str, text: str) -> None:
        told.append((folder, text))
        if "of 1 sessions" in text:
            raise AuditStopped("stopped")

    with pytest.raises(AuditStopped):
        audit_paths(post.officer, wanted_at(post.officer, (post.station.logs,)), listen)

    assert told[0][1].startswith("reading 0 of ")
    assert {folder for folder, _ in told} == {str(post.station.logs)}


def test_a_second_officer_on_another_laptop_gives_no_receipts_here(tmp_path: Path) -> None:
    """Receipts of an officer whom nobody here vouches for cover nothing in this audit."""
    post = make_post(tmp_path)
    other = desk_at(tmp_path / "other", post.clock)
    bram = key_of(other, "Bram Ost")
    appoint(other.folder, bram)
    post.walk("7")
    receive_folder(other.folder, post.station.folder, bram)
    report = post.audit()

    assert outcomes(report, "receipts") == {"holds", "cannot tell"}
    assert outcomes(report, "tail") == {"cannot tell"}


def test_enrolling_after_the_fact_counts_from_the_request(post: Post) -> None:
    """A key counts from its request on, so that what was signed before stays what it was."""
    early = desk_at(post.station.logs.parent, post.clock)
    session = walked(early, lock="9")
    from checklist.record.journals.seal import seal

    verdict = str(session.end().verdict)
    signings = [
        Signing("Bram Ost", "in charge", key_of(early, "Bram Ost")),
        Signing(ORRIN, "worker", key_of(early, ORRIN)),
    ]
    seal(early.folder, session.kept_in()[1], verdict=verdict, signings=signings)
    session.close()
    post.clock.pass_time(60)
    enrol(post, "Bram Ost", "in charge")

    assert ["counts only from" in f.sentence for f in failing(post.audit())] == [True]

"""A countersigned audit is an entry of the officer's ledger that names the report by its hash."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from checklist.audit.auditing import Wanted, audit_paths
from checklist.audit.countersigning import countersign, require_officer_named
from checklist.audit.wording import as_document
from checklist.record.errors import EntryRefused
from checklist.record.journals.seal import Signing
from checklist.record.verifying.verify import verify
from tests.audit.logs import audited, failing, finished
from tests.audit.officers import make_post
from tests.independent_verifier import flaws
from tests.sessions.pastsessions import desk_at, key_of


def test_the_entry_names_the_report_and_what_was_audited(tmp_path: Path) -> None:
    """Report hash, outcome, and for each folder origin, length and newest hash are signed."""
    station, officer = finished(tmp_path / "station"), desk_at(tmp_path / "officer")
    report = audit_paths(officer, Wanted((station.logs,)))
    signer = Signing("Wilma Fenn", "safety officer", key_of(officer, "Wilma Fenn"))
    entry = countersign(officer.folder, report, signer).entry
    sha256 = hashlib.sha256(as_document(report)).hexdigest()
    last = sorted(station.logs.glob("ledger/*.note"))[-1]

    assert entry.field("report") == sha256
    assert entry.field("outcome") == "cannot tell"
    assert entry.field("folder") == (
        f"{station.folder.origin} {int(last.stem)} {hashlib.sha256(last.read_bytes()).hexdigest()}"
    )
    assert (officer.logs / "attachments" / sha256).read_bytes() == as_document(report)
    assert flaws(officer.logs) == []
    assert failing(audited(officer.logs)) == []


@pytest.mark.parametrize("what", ["gone", "changed"])
def test_a_signed_report_that_is_lost_fails(tmp_path: Path, what: str) -> None:
    """What the officer signed is looked for by its hash whenever the officer's folder is."""
    officer = desk_at(tmp_path / "officer")
    signer = Signing("Wilma Fenn", "safety officer", key_of(officer, "Wilma Fenn"))
    report = audit_paths(officer, Wanted((officer.logs,)))
    entry = countersign(officer.folder, report, signer).entry
    kept = officer.logs / "attachments" / (entry.field("report") or "")
    sound = audited(officer.logs)
    data = kept.read_bytes()
    kept.unlink()
    if what == "changed":
        kept.write_bytes(data + b" ")

    assert failing(sound) == []
    assert [(f.check, f.entry) for f in failing(audited(officer.logs))] == [
        ("kept files", entry.number)
    ]
    checks = {c.name: c.outcome.value for c in verify(officer.folder).checks}
    assert checks["kept files"] == "fails"


def test_only_the_officer_signs_an_audit(tmp_path: Path) -> None:
    """Without a key, or in another role, nothing is written."""
    desk = finished(tmp_path)
    report = audited(desk.logs)
    before = len(list(desk.logs.glob("ledger/*.note")))
    with pytest.raises(EntryRefused, match="needs a signature"):
        countersign(desk.folder, report, Signing("Wilma Fenn", "safety officer"))
    worker = Signing("Orrin Vale", "worker", key_of(desk, "Orrin Vale"))
    with pytest.raises(EntryRefused, match="does not sign an audit"):
        countersign(desk.folder, report, worker)

    assert len(list(desk.logs.glob("ledger/*.note"))) == before


def test_a_name_that_is_no_officer_is_refused_before_a_key_is_made(tmp_path: Path) -> None:
    """Where an officer is pinned, another name gets one sentence; where none is, any may sign."""
    post = make_post(tmp_path)
    require_officer_named(post.officer.folder, "wilma fenn")
    require_officer_named(desk_at(tmp_path / "nobody").folder, "Tamsin Reed")
    with pytest.raises(EntryRefused, match="Tamsin Reed is no safety officer"):
        require_officer_named(post.officer.folder, "Tamsin Reed")

"""An imported folder may hold anything: no parser gives way, nothing outside is read or shown."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest

from checklist.audit.wording import as_document, as_text
from checklist.plaintext import shown
from checklist.record.journals.lines import compose, hash_of, parse_line
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger
from tests.audit.logs import audited, failing, finished, sealed_ids
from tests.conftest import Tried
from tests.independent_verifier import flaws
from tests.sessions.pastsessions import key_of

ABUSE = {
    "NaN": b'{"n":NaN}',
    "an exponent": b'{"n":1e400}',
    "2^53 + 1": b'{"n":9007199254740993}',
    "5,000 digits": b'{"n":' + b"9" * 5000 + b"}",
    "a fraction": b'{"n":1.0}',
    "a key twice": b'{"n":1,"n":1}',
    "a key twice, once escaped": b'{"n":1,"\\u006e":1}',
    "depth": b'{"n":' + b"[" * 5000 + b"]" * 5000 + b"}",
    "a byte order mark": b"\xef\xbb\xbf{}",
    "UTF-16": '{"n":1}'.encode("utf-16"),
    "overlong UTF-8": b'{"n":"\xc0\xaf"}',
    "a lone surrogate": b'{"n":"\\ud800"}',
    "a raw surrogate": b'{"n":"\xed\xa0\x80"}',
    "nothing": b"",
    "nulls": b"\0" * 64,
    "a very long line": b'{"n":"' + b"a" * 300_000 + b'"}',
}


@pytest.mark.parametrize("what", ABUSE)
def test_abuse_of_the_parsers_is_found_and_harms_nothing(
    tmp_path: Path, what: str, tried: Tried
) -> None:
    """In a session file, a note, the origin and a kept rule file: a finding, never an exception."""
    logs = finished(tmp_path).logs
    for path in (
        next(iter(logs.glob("sessions/*.jsonl"))),
        logs / "ledger/00000003.note",
        next(iter(logs.glob("rules/*"))),
        logs / "origin",
    ):
        whole = path.read_bytes()
        for data in (ABUSE[what] + b"\n", ABUSE[what], whole + ABUSE[what] + b"\n"):
            path.write_bytes(data)
            report = audited(logs, recompute=True)

            assert failing(report)
            assert "\n".join(as_text(report))
            if path.parent.name == "sessions":
                assert flaws(logs)
            tried("abuse", 1)
        path.write_bytes(whole)


def test_links_are_not_followed(tmp_path: Path) -> None:
    """A session file, a note or a kept file that is a link out of the folder is not read."""
    logs = finished(tmp_path).logs
    secret = tmp_path / "secret"
    for path in (
        next(iter(logs.glob("sessions/*.jsonl"))),
        logs / "ledger/00000002.note",
        next(iter(logs.glob("rules/*"))),
    ):
        secret.write_bytes(path.read_bytes())  # even where the link leads to the right bytes
        path.unlink()
        path.symlink_to(secret)

        assert failing(audited(logs)), path.name
        path.unlink()
        path.write_bytes(secret.read_bytes())
    os.mkfifo(logs / "sessions" / f"{'f' * 32}.jsonl")

    assert failing(audited(logs))


def rewritten(logs: Path, session_id: str, old: bytes, new: bytes) -> None:
    """Change a text in a session's file and make every hash of its lines right again."""
    path = logs / "sessions" / f"{session_id}.jsonl"
    previous, lines = "", []
    for piece in path.read_bytes().splitlines(keepends=True):
        line = parse_line(piece.replace(old, new))
        line = replace(line, previous=previous or line.previous)
        lines.append(compose(line))
        previous = hash_of(lines[-1])
    path.write_bytes(b"".join(lines))


@pytest.mark.parametrize(
    "text", ["\x1b]52;c;ZXZpbA==\x07", "\x9b2J", "\u202egnp.exe", "\u200bhidden", "[bold]x[/x]"]
)
def test_escapes_never_reach_a_terminal(tmp_path: Path, text: str) -> None:
    """What a hostile folder smuggles into names and answers is written out, never passed on."""
    desk = finished(tmp_path)
    import json

    spelled = json.dumps(text, ensure_ascii=False)[1:-1].encode()
    for session_id in sealed_ids(desk):
        rewritten(desk.logs, session_id, b"wrench fell", spelled)
        rewritten(desk.logs, session_id, b"thunder heard", spelled)
    report = audited(desk.logs)
    printed = "\n".join(shown(line) for line in as_text(report))

    assert failing(report)
    assert not any(sign in printed for sign in "\x1b\x9b\x07\u202e\u200b")
    assert as_document(report).isascii()


@pytest.mark.parametrize("name", ["../../../etc/passwd", "/etc/passwd", "a" * 63, "A" * 64, ""])
def test_a_path_in_place_of_a_hash_is_never_opened(tmp_path: Path, name: str) -> None:
    """A session that names a kept file by a path fails, and nothing outside is looked at."""
    desk = finished(tmp_path)
    session_id = sealed_ids(desk)[0]
    path = desk.logs / "sessions" / f"{session_id}.jsonl"
    sha = next(iter(desk.logs.glob("rules/*"))).name.encode()
    rewritten(desk.logs, session_id, sha, name.encode())
    report = audited(desk.logs, recompute=True)

    assert path.exists()
    assert failing(report)
    assert "root:" not in "\n".join(as_text(report))


def test_a_hostile_correction_is_a_finding(tmp_path: Path) -> None:
    """A signed correction with nonsense in place of the answer fails, and shows in the text."""
    desk = finished(tmp_path)
    session_id = sealed_ids(desk)[0]
    ending = next(r for r in Ledger(desk.folder).of_session(session_id) if r.entry.kind == "sealed")
    for answer in (
        '{"answer":{"inputs":{"a":7}}}',
        "{",
        '{"answer":[]}',
        '{"answer":{"said":"x"}}',
    ):
        draft = Draft(
            "corrected", session_id, target=ending.sha256, signers=ending.entry.signers[:1],
            fields=(("step", "clear"), ("answer", answer), ("reason", "r"), ("before", "b"),
                    ("after", "a")),
        )  # fmt: skip
        Ledger(desk.folder).append(draft, [key_of(desk, "Tamsin Reed")])
    report = audited(desk.logs)

    assert len([f for f in failing(report) if f.check == "corrections"]) == 4

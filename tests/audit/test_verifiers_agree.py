"""Two verifiers that share no code say the same of every fixture."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from checklist.audit.wording import as_text
from tests.audit.logs import audited, failing, files_of, finished, said
from tests.conftest import Tried
from tests.independent_verifier import flaws
from tests.record.making import open_folder, small_log
from tests.sessions.pastsessions import sealed, walked


def test_the_second_verifier_is_small_and_independent() -> None:
    """It has fewer than 200 lines and imports nothing of the package."""
    text = (Path(__file__).parents[1] / "independent_verifier.py").read_text(encoding="utf-8")

    assert len(text.splitlines()) < 200
    assert "checklist" not in text


def test_both_accept_a_log_with_every_end(tmp_path: Path) -> None:
    """Sealed, signed late, unsigned and given up: neither verifier fails any of it."""
    folder = open_folder(tmp_path / "logs")
    small_log(folder)

    assert flaws(folder.path) == []
    assert [f for f in failing(audited(folder.path)) if f.check != "content"] == []


@pytest.mark.parametrize(
    "step", [997, pytest.param(5, marks=pytest.mark.long)], ids=["every 997th", "every 5th"]
)
def test_both_find_the_same_changed_bytes(tmp_path: Path, step: int, tried: Tried) -> None:
    """One bit turned, one byte taken out, one doubled: found by both, wherever it is.

    The newest entry is a signed one; what holds for another is tried below.
    """
    desk = finished(tmp_path)
    sealed(desk, walked(desk, lock="5"))
    logs = desk.logs
    changes, missed = 0, []
    for name, data in files_of(logs).items():
        path = logs / name
        if name.startswith("rules/"):
            continue
        for at in range(changes % step, len(data), step):
            for what, changed in {
                "turned": data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :],
                "taken out": data[:at] + data[at + 1 :],
                "doubled": data[: at + 1] + data[at:],
            }.items():
                if changed == data:
                    continue
                path.write_bytes(changed)
                changes += 1
                missed += [f"audit: {name} {at} {what}"] * (not failing(audited(logs)))
                missed += [f"second: {name} {at} {what}"] * (not flaws(logs))
        path.write_bytes(data)
    tried("bytes", changes, len(missed))

    assert missed == []
    assert changes > 30_000 // step


def test_what_nobody_signed_is_only_held_by_what_follows(tmp_path: Path) -> None:
    """The time of a newest entry without signature: neither can tell, and the audit says so."""
    desk = finished(tmp_path)
    newest = max((desk.logs / "ledger").glob("*.note"))
    as_it_was = newest.read_text(encoding="utf-8")
    changed = re.sub(r"(?m)^(time .*)\d(\+00:00)$", r"\g<1>7\2", as_it_was)
    newest.write_text(changed, encoding="utf-8")
    report = audited(desk.logs)

    assert changed != as_it_was
    assert flaws(desk.logs) == [] == failing(report)
    assert said(report, "tail")[0][0] == "cannot tell"
    assert any("newest entry that nobody signed" in line for line in as_text(report))

    newest.write_text(as_it_was, encoding="utf-8")
    walked(desk, lock="5")
    newest.write_text(changed, encoding="utf-8")

    assert flaws(desk.logs) != []
    assert failing(audited(desk.logs)) != []

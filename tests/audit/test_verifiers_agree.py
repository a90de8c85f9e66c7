"""Two verifiers that share no code say the same of every fixture."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.audit.logs import audited, failing, files_of, finished
from tests.conftest import Tried
from tests.independent_verifier import flaws
from tests.record.making import open_folder, small_log


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
    """One bit turned, one byte taken out, one doubled: found by both, wherever it is."""
    logs = finished(tmp_path).logs
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

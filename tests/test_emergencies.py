"""What to do when someone is hurt: its numbers come from one cited table, and need nothing else."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from checklist import emergencies as told
from checklist.quantities import both
from checklist.sessions.library import Library
from checklist.shipped import shipped_rules

ALL = "\n".join(line for one in told.emergencies() for line in one.do)


@pytest.mark.parametrize("name", ["number", "number-europe", "stay-away", "cool-burn"])
def test_each_number_is_the_one_that_is_cited(name: str) -> None:
    """What is said is the value in the book, whose citation `numbers` lists."""
    value = Library().book().value(f"emergencies/{name}")

    assert both(value.quantity, 2, "up").partition(" (")[0] in ALL
    assert value.cited.citation


def test_no_number_stands_in_the_code() -> None:
    """A limit stands once: the module that words it holds no figures of its own but dates."""
    code = Path(told.__file__).read_text(encoding="utf-8")
    words = re.findall(r'^            "(.*)"', code, re.MULTILINE)

    assert len(words) > 20
    assert [line for line in words if re.search(r"\d", line)] == []


def test_changed_table_changes_what_is_said(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """There is no second copy: another value in the table is another value on the screen."""
    shipped = (shipped_rules() / told.TABLE).read_text(encoding="utf-8")
    table = shipped.replace("35 ft", "60 ft")
    (tmp_path / "tables").mkdir()
    (tmp_path / told.TABLE).write_text(table, encoding="utf-8")
    monkeypatch.setattr(told, "shipped_rules", lambda: tmp_path)
    for cached in (told.hurt_numbers, told.call, told.emergencies):
        monkeypatch.setattr(told, cached.__name__, cached.__wrapped__)

    assert "STAY AWAY: 60 ft (19 m) or more" in told.emergencies()[1].do[0]


def test_it_needs_no_other_file_and_no_book() -> None:
    """Help reads one file: no other table, no source and no rule file can keep it back."""
    script = (
        "import builtins, pathlib, sys\n"
        "read, whole = [], pathlib.Path.read_text\n"
        "pathlib.Path.read_text = lambda p, *a, **k: (read.append(p.name), whole(p, *a, **k))[1]\n"
        "from checklist.emergencies import emergencies\n"
        "assert len(emergencies()) == 5\n"
        "print(read, 'checklist.rulebook' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, check=True, text=True
    )

    assert done.stdout.strip() == "['emergencies.yaml'] False"

"""`standclear station`: a file looked over, and a first one written."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.caution import BANNER
from checklist.commands.stationfile import example_station
from checklist.station import load_station
from tests.commands.conftest import Shell


def test_new_writes_what_check_takes(shell: Shell, tmp_path: Path) -> None:
    """The first file says that it is invented, can be read, and is what the page shows."""
    file = tmp_path / "ours.yaml"
    made, checked = shell("station", "new", str(file)), shell("station", "check", str(file))
    text = file.read_text("utf-8")

    assert (made.code, checked.code) == (0, 0)
    assert text.startswith("# Everything below is invented.")
    assert load_station(text, "ours.yaml") == load_station(example_station(), "page")
    assert "emissions: 2" in checked.out
    assert BANNER in checked.out
    assert " safe" not in checked.out.replace("safety", "")


def test_new_never_overwrites(shell: Shell, tmp_path: Path) -> None:
    """A file that is there stays byte for byte; a folder that is not there is said."""
    file = tmp_path / "ours.yaml"
    file.write_text("mine", "utf-8")
    ran = shell("station", "new", str(file))
    nowhere = shell("station", "new", str(tmp_path / "none" / "ours.yaml"))

    assert ran.code == nowhere.code == 2
    assert "there is a file already" in ran.err
    assert file.read_text("utf-8") == "mine"
    assert "NOT SAVED" in nowhere.err


def test_check_lists_every_error_with_its_line(shell: Shell, tmp_path: Path) -> None:
    """Two errors give two lines and exit code 1, in JSON as well."""
    file = tmp_path / "ours.yaml"
    text = example_station()
    file.write_text(
        text.replace("tall: 1.9 m", "tall: 1.9").replace("limits: fcc-1310", "limits: none-such"),
        "utf-8",
    )
    ran, as_json = (
        shell("station", "check", str(file)),
        shell("station", "check", str(file), "--json"),
    )

    assert ran.code == as_json.code == 1
    assert ran.out.startswith("ours.yaml: 2 errors.")
    assert [line.split(":")[0] for line in as_json.data["errors"]] == [
        f"ours.yaml, line {_line_of(text, 'limits: fcc-1310')}, column 3",
        f"ours.yaml, line {_line_of(text, 'tall: 1.9 m')}, column 5",
    ]


@pytest.mark.parametrize("name", ["gone.yaml", "."])
def test_what_cannot_be_read_is_one_sentence(name: str, shell: Shell, tmp_path: Path) -> None:
    """A missing file and a folder are refused; nothing is printed on stdout."""
    ran = shell("station", "check", str(tmp_path / name))

    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.count("\n") == 1


def _line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1

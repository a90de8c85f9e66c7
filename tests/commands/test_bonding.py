"""`standclear bonding`: what it prints, draws and ends with."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.caution import BANNER
from tests.commands.conftest import Shell
from tests.station.making import WHOLE, changed


def _file(folder: Path, text: str = WHOLE) -> str:
    path = folder / "station.yaml"
    path.write_text(text, "utf-8")
    return str(path)


def test_a_sound_network_ends_with_zero_and_never_says_safe(shell: Shell, tmp_path: Path) -> None:
    """The page has the tree and the banner, and no word that sounds like a permission."""
    ran = shell("bonding", _file(tmp_path))

    assert ran.code == 0
    assert "+-- panel [service]" in ran.out
    assert ran.out.startswith("Bonding network of Larkspur Bend, hill station\nWITHIN ")
    assert BANNER in ran.out
    assert " safe" not in ran.out.replace("safety", "")


@pytest.mark.parametrize(
    ("old", "new", "code", "says"),
    [
        ("gauge: 6 AWG, length: 22 ft", "gauge: 8 AWG, length: 22 ft", 1, "OVER: stop"),
        ("gauge: 6 AWG, length: 22 ft", "gauge: 6 AWG", 3, "NOT SHOWN to be safe: stop"),
        ("terminals: 8", "terminals: 5", 0, "WITHIN"),
    ],
)
def test_exit_codes(old: str, new: str, code: int, says: str, shell: Shell, tmp_path: Path) -> None:
    """0 within, 1 over, 3 not shown."""
    ran = shell("bonding", _file(tmp_path, changed((old, new))))

    assert ran.code == code
    assert says in ran.out.splitlines()[1]


def test_json_has_each_remark_with_its_place_and_rule(shell: Shell, tmp_path: Path) -> None:
    """One document: outcome, remarks, values used with their standing, tree, caution."""
    text = changed(("gauge: 6 AWG, length: 22 ft", "gauge: 8 AWG, length: 22 ft"))
    ran = shell("bonding", _file(tmp_path, text), "--json")
    remark = ran.data["remarks"][0]

    assert ran.code == 1
    assert ran.data["outcome"] == "over"
    assert remark["where"] == ["jumper"]
    assert remark["rule"] == "undersized"
    assert "810.21(J)" in remark["cites"]
    assert {"bonding/jumper", "earth/rod-length"} <= {u["address"] for u in ran.data["used"]}
    assert ran.data["tree"][0] == "bus [bus]"
    assert BANNER in ran.data["caution"]


def test_a_picture_is_written_once_and_never_over_another_file(
    shell: Shell, tmp_path: Path
) -> None:
    """--svg makes a new file, and leaves one that is there alone."""
    picture = tmp_path / "net.svg"
    first = shell("bonding", _file(tmp_path), "--svg", str(picture))
    kept = picture.read_text("utf-8")
    second = shell("bonding", _file(tmp_path), "--svg", str(picture))

    assert first.code == 0
    assert kept.startswith("<svg ")
    assert second.code == 2
    assert "there is a file already" in second.err
    assert picture.read_text("utf-8") == kept


def test_all_errors_of_the_file_are_said(shell: Shell, tmp_path: Path) -> None:
    """A station file with two mistakes ends with 2 and two sentences with their lines."""
    text = changed(("tall: 1.9 m", "tall: 1.9"), ("terminals: 8", "terminals: many"))
    ran = shell("bonding", _file(tmp_path, text))

    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.count("station.yaml, line ") == 2


def test_a_station_without_bonding_is_refused(shell: Shell, tmp_path: Path) -> None:
    """Nothing described is nothing examined, and no verdict."""
    ran = shell("bonding", _file(tmp_path, WHOLE[: WHOLE.index("bonding:\n")]))

    assert ran.code == 2
    assert "describes no bonding network" in ran.err


def test_no_file_a_folder_and_bytes_that_are_no_text(shell: Shell, tmp_path: Path) -> None:
    """What cannot be read is said in a sentence."""
    odd = tmp_path / "odd.yaml"
    odd.write_bytes(b"name: \xff\xfe")

    assert "there is no such file" in shell("bonding", str(tmp_path / "none.yaml")).err
    assert "this is no ordinary file" in shell("bonding", str(tmp_path)).err
    assert "byte 7 is no UTF-8 text" in shell("bonding", str(odd)).err

"""`standclear exposure --variant` and `--into`: what is compared, written and refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.commands.conftest import Shell
from tests.sessions.varying import BESIDE_A_BEAM, TURNS_FREELY
from tests.station.example import changed_example
from tests.station.making import changed

AT_THE_ANTENNA = ("at: [18 m, 4 m, 0 m]", "at: [3 m, 0 m, 12 m]")


@pytest.fixture
def over(tmp_path: Path) -> Path:
    """Write a station that is over at its track, with a remark that belongs to a value."""
    path = tmp_path / "station.yaml"
    path.write_text(f"# Kept by hand.\n{changed_example(AT_THE_ANTENNA)}", "utf-8")
    return path


def test_where_there_is_nothing_to_remedy_that_is_said(tmp_path: Path, shell: Shell) -> None:
    """A station within its limits has no remedy to try, and the page says so in words."""
    path = tmp_path / "station.yaml"
    path.write_text(changed_example(), "utf-8")
    ran = shell("exposure", str(path), "--variant", "remedies")

    assert ran.code == 0
    assert "No change was found to try." in ran.out


def test_a_variant_stands_beside_the_station_and_changes_nothing(over: Path, shell: Shell) -> None:
    """Both columns, what was changed and what it costs; the file stays byte for byte."""
    before = over.read_bytes()
    ran = shell("exposure", str(over), "--variant", "beacon-test power 2.5 W")

    assert ran.code == 0
    assert "as it is and with changes tried" in ran.out
    assert "451 % OVER" in ran.out
    assert "45.1 % within" in ran.out
    assert "beacon-test: power 2.5 W instead of 25 W" in ran.out
    assert "10.0 dB less power" in ran.out
    assert "is safe" not in ran.out
    assert over.read_bytes() == before


@pytest.mark.parametrize(
    ("variant", "code"),
    [
        ("beacon-test power 2.5 W", 0),
        ("beacon-test power 20 W", 1),
        ("beacon-test power 20 W + mast-vertical height 30 m", 0),
        ("track: people kept out", 0),
        ("remedies", 0),
    ],
)
def test_it_ends_by_the_last_variant(variant: str, code: int, over: Path, shell: Shell) -> None:
    """0 within, 1 over: steps joined by + are taken one on top of the other."""
    assert shell("exposure", str(over), "--variant", variant).code == code


def test_what_is_not_known_stays_not_shown(tmp_path: Path, shell: Shell) -> None:
    """A place cannot be moved out of an unknown power: 3, and never within."""
    path = tmp_path / "station.yaml"
    path.write_text(changed_example(("    power: 25 W\n", "")), "utf-8")
    ran = shell("exposure", str(path), "--variant", "track distance 60 m")

    assert ran.code == 3
    assert "within" not in ran.out
    assert "not shown: beacon-test" in re.sub(r"[\s|]+", " ", ran.out)


def test_json_has_each_variant_with_its_changes(over: Path, shell: Shell) -> None:
    """The station first, then each remedy by itself, every one at half of the limit or below."""
    found = shell("exposure", str(over), "--variant", "remedies", "--json").data
    first, *others = found["variants"]
    shares = [
        place["fraction"]
        for variant in others
        for place in variant["places"]
        if place["name"] == "track"
    ]

    assert first["name"] == "as it is"
    assert first["outcome"] == "over"
    assert first["steps"] == []
    assert [variant["name"] for variant in others] == [
        f"variant {n}" for n in range(1, len(others) + 1)
    ]
    assert len(others) >= 4
    assert all(share <= 0.5005 for share in shares)
    assert others[0]["steps"][0]["changes"][0]["path"] == ["emissions", "beacon-test", "power"]
    assert found["written"] is None


def test_a_variant_written_is_the_station_that_was_compared(over: Path, shell: Shell) -> None:
    """The new file keeps the remark, changes one value, and evaluates to the same share."""
    new = over.with_name("quieter.yaml")
    ran = shell(
        "exposure", str(over), "--variant", "beacon-test power 2.5 W", "--into", str(new), "--json"
    )
    again = shell("exposure", str(new), "--json").data
    compared = {place["name"]: place["fraction"] for place in ran.data["variants"][1]["places"]}

    assert ran.data["written"] == str(new)
    assert new.read_text("utf-8") == over.read_text("utf-8").replace("power: 25 W", "power: 2.5 W")
    assert {place["name"]: place["fraction"] for place in again["places"]} == pytest.approx(
        compared
    )


@pytest.mark.parametrize(
    ("free", "left"),
    [(True, 'sector: ["180 deg", "0 deg"]'), (False, "bearing: 0 deg")],
    ids=["sector", "one bearing"],
)
def test_a_locked_sector_is_written(*, free: bool, left: str, tmp_path: Path, shell: Shell) -> None:
    """Its remedy lowers the field; what can be touched there stays a stop, and is called so."""
    path, new = tmp_path / "station.yaml", tmp_path / "locked.yaml"
    path.write_text(changed(*BESIDE_A_BEAM, *((TURNS_FREELY,) if free else ())), "utf-8")
    ran = shell(
        "exposure", str(path), "--margin", "40 %", "--variant", "track: locked to a sector",
        "--into", str(new),
    )  # fmt: skip
    written = new.read_text("utf-8")

    assert re.search(r"track +\| OVER: RF burn +\| OVER: RF burn", ran.out)
    assert re.search(r"\| 59\.7 % by overs, heading \d +\| 39\.4 % by beacon-test", ran.out)
    assert left.replace('"', "") in written.replace('"', "").replace("'", "")
    assert ("turns: yes" in written) is free
    assert "within, 39.4 % of the limit" in shell("exposure", str(new)).out


def test_a_file_that_is_there_is_not_written_over(over: Path, shell: Shell) -> None:
    """It says which one, and the file stays as it was."""
    there = over.with_name("there.yaml")
    there.write_text("mine", "utf-8")
    ran = shell(
        "exposure", str(over), "--variant", "beacon-test power 2 W", "--into", str(there)
    )  # fmt: skip

    assert ran.code == 2
    assert "there is a file already" in ran.err
    assert there.read_text("utf-8") == "mine"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--into", "new.yaml"], "there is nothing to write"),
        (["--variant", "remedies", "--into", "new.yaml"], "variants were made"),
        (["--variant", "beacon-test power 2 W", "--at", "0 m, 0 m, 1 m"], "without --at and --svg"),
        (["--variant", "louder"], "“louder” is no change of the station"),
        (["--variant", "beacon-tset power 2 W"], "Did you mean “beacon-test power”?"),
        (["--variant", "beacon-test power 2"], "“2” has no unit"),
        (["--variant", "beacon-test power 500 W"], "more than the 100 W that desk-rig gives"),
        (["--variant", "track: prayer"], "“prayer” is no remedy found for track"),
        (["--variant", "operating-desk: less power"], "no remedy was sought"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_one_sentence(
    arguments: list[str], says: str, over: Path, shell: Shell
) -> None:
    """2, one sentence on stderr, nothing on stdout, no file made."""
    ran = shell("exposure", str(over), *arguments)

    assert ran.code == 2
    assert ran.out == ""
    assert says in ran.err
    assert ran.said.count("\n") == 1
    assert not Path("new.yaml").exists()

"""`standclear exposure`: what it prints, and what it ends with, on sound and on faulty stations."""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path

import pytest

from checklist.caution import BANNER
from checklist.commands import progress
from tests.commands.conftest import Shell
from tests.station.example import changed_example

TRACK = "at: [18 m, 4 m, 0 m]"
AT_THE_ANTENNA = "at: [3 m, 0 m, 12 m]"
NO_REACH = "who: [neighbours, public]\n    within-reach: none"
BARE = (
    "who: [neighbours, public]\n    within-reach:\n"
    "      - {antenna: dipole-40, what: its lower end, bare: yes, distance: 40 cm}"
)


def _file(folder: Path, *pairs: tuple[str, str]) -> str:
    path = folder / "station.yaml"
    path.write_text(changed_example(*pairs), "utf-8")
    return str(path)


def test_the_example_of_the_guide_is_within_and_never_called_safe(
    shell: Shell, tmp_path: Path
) -> None:
    """The page has outcome, edition and standing, zones, pictures, assumptions and the banner."""
    ran = shell("exposure", _file(tmp_path))
    lines = ran.out.splitlines()

    assert ran.code == 0
    assert lines[:2] == ["RF exposure around Larkspur Bend, hill station",
                         "WITHIN the limits, by what was described"]  # fmt: skip
    assert lines[3].startswith("Limits: fcc-1310, 47 CFR 1.1310, table 1, ")
    assert "standing: " in lines[3]
    for part in ("Places", "Remedies", "Assumed", "Not modelled", "Values used"):
        assert part in lines
    assert any(line.startswith("Plan 2 m above the ground") for line in lines)
    assert any(line.startswith("Section from west to east") for line in lines)
    assert BANNER in ran.out
    assert "is safe" not in ran.out


def test_the_worst_place_stands_first(shell: Shell, tmp_path: Path) -> None:
    """Over before not shown before within, and within one word the larger share first."""
    within = shell("exposure", _file(tmp_path)).out
    over = shell("exposure", _file(tmp_path, ("at: [-8 m, 0 m, 0 m]", "at: [2 m, 0 m, 13 m]"))).out

    assert (
        0 < within.index("within  track: 3.04 %") < within.index("within  operating-desk: 1.50 %")
    )
    assert 0 < over.index("OVER  operating-desk: ") < over.index("within  track: ")


@pytest.mark.parametrize(
    ("old", "new", "code", "says"),
    [
        (TRACK, AT_THE_ANTENNA, 1, "OVER: stop"),
        (NO_REACH, BARE, 1, "burn at any power. Insulate or fence them"),
        ("frequency: 146 MHz", "frequency: 120 GHz", 3, "no row for 120000 MHz"),
        ("power: 100 W, used: fixed", "power: 100 W, used: portable", 3, "SAR"),
        ("    power: 25 W\n", "", 3, "beacon-test is not shown, its power is unknown"),
        ("centre: [0 m, 12 m, 12 m]", "centre: [0 m, 12 m, 10 cm]", 3, "NOT SHOWN"),
        ("bearing: 90 deg, diameter: 2 mm}", "bearing: 90 deg, diameter: 2 m}", 3, "NOT SHOWN"),
        ("gain: 3 dBd, ", "", 3, "NOT SHOWN"),
        ("limits: fcc-1310", "limits: icnirp-2020", 0, "from memory: unverified"),
    ],
)
def test_exit_codes_and_what_is_said(
    old: str, new: str, code: int, says: str, shell: Shell, tmp_path: Path
) -> None:
    """0 within, 1 over, 3 not shown; the page says what the number means."""
    ran = shell("exposure", _file(tmp_path, (old, new)))

    assert ran.code == code
    assert says in ran.out
    assert ran.err == "" or ran.err.startswith("standclear: ")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("centre: [0 m, 12 m, 12 m]", "centre: [0 m, 12 m, -3 m]", "“-3 m” is below 0 m"),
        (
            "within-reach: none\n  track:",
            "within-reach: nothing\n  track:",
            "write none, or a list",
        ),
        ("power: 500 W", "power: 900 W", "900 W is more than the 800 W that amplifier gives"),
        ("limits: fcc-1310", "limits: fcc-1996", "fcc-1996"),
        ("antenna: mast-vertical", "antenna: mast", "mast"),
    ],
)
def test_a_faulty_station_is_refused_in_one_sentence(
    old: str, new: str, says: str, shell: Shell, tmp_path: Path
) -> None:
    """Bad geometry, a value that cannot be, a name that is nowhere: 2, with file and place."""
    ran = shell("exposure", _file(tmp_path, (old, new)))

    assert ran.code == 2
    assert ran.out == ""
    assert "station.yaml" in ran.err
    assert says in ran.err
    assert "Traceback" not in ran.err


def test_an_unknown_standing_wave_ratio_gives_no_credit(shell: Shell, tmp_path: Path) -> None:
    """Without it more power counts at the antenna; without the length, all of it does."""

    def watts(*pairs: tuple[str, str]) -> float:
        data = shell("exposure", _file(tmp_path, *pairs), "--json").data
        (net,) = (e for e in data["places"][1]["emissions"] if e["emission"] == "evening-net")
        return float(net["power_at_antenna_w"])

    known, swr_unknown = watts(), watts(("    load-swr: 1.5\n", ""))

    assert known < swr_unknown < 500
    assert watts(("    length: 90 ft\n", "")) == 500


def test_json_has_the_whole_answer(shell: Shell, tmp_path: Path) -> None:
    """One document: places with fraction, method and why, zones, remedies, limits, plots."""
    ran = shell("exposure", _file(tmp_path, (TRACK, AT_THE_ANTENNA)), "--json")
    data = ran.data
    track = next(place for place in data["places"] if place["name"] == "track")
    (remedies,) = data["remedies"]

    assert ran.code == 1
    assert data["outcome"] == track["outcome"] == "over"
    assert track["fraction"] > 1
    assert (track["deciding"], track["quantity"], track["method"]) == (
        "beacon-test", "S", "far field",
    )  # fmt: skip
    assert track["farther_m"] > 0
    assert {zone["antenna"] for zone in data["zones"]} == {"dipole-40", "mast-vertical"}
    assert [c["number"] for c in data["categories"]] == [1, 2, 3, 4]
    assert remedies["place"] == "track"
    assert all(one["fraction"] <= remedies["share"] for one in remedies["found"])
    assert {"less power", "people kept out"} <= {one["kind"] for one in remedies["found"]}
    assert data["limits"]["edition"]
    assert len(data["plots"]) == 3
    assert BANNER in data["caution"]


def test_margin_is_what_remedies_reach(shell: Shell, tmp_path: Path) -> None:
    """A tenth of the limit asks for five times less power than half of it."""
    path = _file(tmp_path, (TRACK, AT_THE_ANTENNA))

    def watts(margin: str) -> float:
        data = shell("exposure", path, "--json", "--margin", margin).data
        found = data["remedies"][-1]["found"]
        return float(next(r["amount"] for r in found if r["kind"] == "less power"))

    assert watts("50 %") == pytest.approx(5 * watts("10 %"), rel=0.02)
    assert shell("exposure", path, "--margin", "200 %").code == 2
    assert shell("exposure", path, "--margin", "half").code == 2


def test_at_gives_the_fields_of_oet_65_at_one_point(shell: Shell, tmp_path: Path) -> None:
    """S = EIRP / (pi R^2), FCC OET Bulletin 65, edition 97-01, equation 6; E = sqrt(377 S)."""
    ran = shell("exposure", _file(tmp_path), "--at", "18 m, 4 m, 1.5 m", "--json")
    beacon = next(e for e in ran.data["emissions"] if e["emission"] == "beacon-test")
    # The middle of the antenna is 14 m up; 1.3 m of it may reach nearer.
    metres = math.hypot(18, 4, 14 - 1.5) - 2.6 / 2
    eirp = 25 * 10 ** ((3 + 2.15) / 10)

    assert ran.code == 0
    assert beacon["distance_m"] == pytest.approx(metres, rel=1e-3)
    assert beacon["s_w_m2"] == pytest.approx(eirp / (math.pi * metres**2), rel=0.005)
    assert beacon["e_v_m"] == pytest.approx(math.sqrt(377 * beacon["s_w_m2"]), rel=0.005)
    assert beacon["h_a_m"] == pytest.approx(beacon["e_v_m"] / 377, rel=0.005)
    assert ran.data["shares"]["controlled"] < ran.data["shares"]["uncontrolled"] < 1


@pytest.mark.parametrize(
    ("at", "code"),
    [
        ("18 m, 4 m, 1.5 m", 0),
        ("3 m, 0 m, 14 m", 1),
        ("0 m, 12 m, 12.05 m", 3),
        ("-8 m,0 ft,6 ft", 0),
    ],
)
def test_at_ends_by_the_stricter_limit(at: str, code: int, shell: Shell, tmp_path: Path) -> None:
    """0, 1 or 3 by the uncontrolled limit at the point; the page says so."""
    ran = shell("exposure", _file(tmp_path), "--at", at)

    assert ran.code == code
    assert "a place is judged over the whole height of a body" in ran.out


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ("18,4,1.5", "has no unit"),
        ("18 m, 4 m", "is not three lengths"),
        ("18 m, 4 m, 1.5 W", "--at, up"),
        ("18 m, 4 m, -1 m", "below the ground"),
        ("", "is not three lengths"),
        ("nan m, 0 m, 0 m", "--at, east"),
    ],
)
def test_a_point_that_is_none_is_refused(at: str, says: str, shell: Shell, tmp_path: Path) -> None:
    """Each wrong way of writing a point is one sentence and 2."""
    ran = shell("exposure", _file(tmp_path), "--at", at)

    assert ran.code == 2
    assert says in ran.err


def test_an_unknown_power_must_be_known_before_any_remedy(shell: Shell, tmp_path: Path) -> None:
    """No distance and no height is offered for what nobody knows; what comes first is said."""
    path = _file(tmp_path, ("    power: 25 W\n", ""))
    data = shell("exposure", path, "--json").data

    assert [place["farther_m"] for place in data["places"]] == [None, None]
    assert [place["higher_m"] for place in data["places"]] == [None, None]
    assert [one["found"] for one in data["remedies"]] == [[], []]
    assert "First: beacon-test, its power." in shell("exposure", path).out


def test_without_a_place_nothing_is_shown(shell: Shell, tmp_path: Path) -> None:
    """A station where nobody said who can be where is not shown to be within."""
    text = changed_example()
    start, end = text.index("places:\n"), text.index("transmitters:\n")
    path = tmp_path / "station.yaml"
    path.write_text(text[:start] + text[end:], "utf-8")
    ran = shell("exposure", str(path))

    assert ran.code == 3
    assert "no place where people can be was given" in ran.out


def test_progress_is_said_on_stderr_once_it_takes_long(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With no time granted every step is said, on stderr alone; JSON stays one document."""
    monkeypatch.setattr(progress, "_QUIET_S", -1.0)
    ran = shell("exposure", _file(tmp_path), "--json")

    assert "standclear: places 2 of 2" in ran.err
    assert ran.data["outcome"] == "within"


def test_no_numpy_before_it_is_needed() -> None:
    """The command line and all pictures load without numpy."""
    code = (
        "import sys, checklist.commands.typed.program, checklist.commands.exposure,"
        " checklist.screens.home, checklist.pictures.maptext, checklist.pictures.exposureplots;"
        " sys.exit('numpy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False)

    assert done.returncode == 0


def test_pictures_go_into_a_folder_and_never_over_a_file(shell: Shell, tmp_path: Path) -> None:
    """--svg writes a plot for each place, the limits, the plan and both sections, once."""
    folder = tmp_path / "pictures"
    first = shell("exposure", _file(tmp_path), "--svg", str(folder))
    names = sorted(path.name for path in folder.iterdir())
    again = shell("exposure", _file(tmp_path), "--svg", str(folder))

    assert first.code == 0
    assert names == ["limits.svg", "plan.svg", "section-south-north.svg", "section-west-east.svg",
                     "share-1.svg", "share-2.svg"]  # fmt: skip
    assert all(path.read_text("utf-8").startswith("<svg ") for path in folder.iterdir())
    assert again.code == 2
    assert "there is a file already" in again.err

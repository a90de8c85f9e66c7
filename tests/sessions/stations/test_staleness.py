"""An evaluation becomes stale when what it looked at changes, and says which part did."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.record.journals.seal import Signing, seal
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.sessions.overview import overview
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from tests.sessions.evaluations import NAME, desk_for_evaluation, evaluate, station_at
from tests.sessions.pastsessions import key_of


def finished(desk: Desk, file: Path) -> str:
    """Walk both steps with the station file, seal the session, and return its id."""
    session = begin(desk, NAME).session
    for step in ("exposure", "network"):
        evaluate(session, step, file)
    name = "Wren Holloway"
    signings = [Signing(name, "in charge", key_of(desk, name))]
    verdict = str(session.end().verdict)
    seal(desk.folder, session.kept_in()[1], verdict=verdict, signings=signings)
    session.close()
    return session.id


def since(desk: Desk, session_id: str) -> tuple[str, ...]:
    return read_session(desk, session_id).stale


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("bearing: 90 deg, diameter: 2 mm", "bearing: 80 deg, diameter: 2 mm"),
         "the antenna dipole-40 changed"),
        (("power: 500 W", "power: 400 W"), "the emission evening-net changed"),
        (("who: [neighbours, public]", "who: [household]"), "the place track changed"),
        (("load-swr: 1.5", "load-swr: 2"), "the feed line to-dipole changed"),
        (("  track:\n", "  gate: {is: gate, at: [9 m, 9 m, 0 m], tall: 2 m, environment: "
          "uncontrolled, who: [public]}\n  track:\n"), "the place gate is new"),
        (("because: one antenna switch at the desk", "because: one of us at the desk"),
         "what is never on together changed"),
    ],
)  # fmt: skip
def test_a_change_makes_it_stale_and_is_named(
    change: tuple[str, str], says: str, tmp_path: Path
) -> None:
    """The part is named in review; the network, which did not look at it, is not stale."""
    desk = desk_for_evaluation(tmp_path)
    session_id = finished(desk, station_at(tmp_path))
    station_at(tmp_path, change)

    title = "RF exposure at every place of the station file"
    assert since(desk, session_id) == (f"{title}: STALE, {says}.",)


def test_a_bond_makes_the_network_stale_alone(tmp_path: Path) -> None:
    """Another gauge touches no exposure."""
    desk = desk_for_evaluation(tmp_path)
    session_id = finished(desk, station_at(tmp_path))
    station_at(tmp_path, ("gauge: 6 AWG, length: 22 ft", "gauge: 4 AWG, length: 22 ft"))

    assert since(desk, session_id) == (
        "Bonding network of the station file: STALE, the bond jumper changed.",
    )


@pytest.mark.parametrize(
    "change",
    [
        ("power: 500 W", "power: 0.5 kW"),
        ("reach: channel 3, climbing: 2026-04-11", "reach: channel 4, climbing: 2026-04-11"),
        ("format: 1\n", "# looked over again\nformat: 1\n"),
    ],
)
def test_what_was_not_looked_at_makes_nothing_stale(
    change: tuple[str, str], tmp_path: Path
) -> None:
    """Another unit of the same value, a person's channel, a comment."""
    desk = desk_for_evaluation(tmp_path)
    session_id = finished(desk, station_at(tmp_path))
    station_at(tmp_path, change)

    assert since(desk, session_id) == ()


def test_without_the_file_it_cannot_be_told(tmp_path: Path) -> None:
    """A file that is gone, and one that is damaged, are said; neither counts as unchanged."""
    desk = desk_for_evaluation(tmp_path)
    file = station_at(tmp_path)
    session_id = finished(desk, file)
    file.write_text("name: [", "utf-8")
    damaged = since(desk, session_id)
    file.unlink()
    gone = since(desk, session_id)

    assert len(damaged) == len(gone) == 2
    assert all("cannot tell whether it is stale" in said for said in (*damaged, *gone))
    assert all(str(file) in said for said in gone)


def test_home_and_the_whole_text_say_it(tmp_path: Path) -> None:
    """Home says stale in the place of the good result; the text has a part of its own."""
    desk = desk_for_evaluation(tmp_path)
    session_id = finished(desk, station_at(tmp_path))
    before = overview(desk).last_of[NAME].said
    station_at(tmp_path, ("power: 500 W", "power: 400 W"))
    after = overview(desk).last_of[NAME].said
    text = as_text(read_session(desk, session_id))

    assert before.startswith("expires ")
    assert after == "STALE, the emission evening-net changed"
    assert "THE STATION SINCE THEN" in text
    assert any("the emission evening-net changed" in line for line in text)

"""The first morning: laptops set up, keys made, an officer appointed, everybody enrolled."""

from __future__ import annotations

from importlib.resources import files

from checklist.demo.cast import CAST, LAPTOPS, NOWHERE, OFFICER, OFFICERS, PASSPHRASE, ROUNDS
from checklist.demo.club import Club
from checklist.demo.marking import mark
from checklist.record.lookup.registers import Instrument, IsolationPoint, Kit, Person
from checklist.record.roll.appointing import appoint, roster_file
from checklist.record.roll.keys import make_key
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import take_roster
from checklist.sessions.roll.people import ask_to_enrol, enrol_from
from checklist.sessions.stations.laststation import remember_station

STATION = "station.yaml"
INSTRUMENTS = (
    Instrument("meter 2, invented", "multimeter"),
    Instrument("anemometer 1, invented", "anemometer"),
    Instrument("rangefinder 1, invented", "rangefinder"),
)
POINTS = ("breaker 14", "plug of transceiver 1", "plug behind the desk", "feed line plug")
KIT = ("harness 1, invented", "rescue bag, invented")
_TRAINED_BEFORE = 40
"""Days before the first one on which everybody was trained."""

_CLUB_SOURCES = """\
invented-minutes:
  title: Minutes of a safety meeting of the invented club, which never met
  edition: 2025-10-31
  standing: read
"""
_CLUB_TABLE = """\
table: invented-club
about: What the invented club holds to in the place of shipped values; one stricter, one laxer.
overlays:
  - replaces: generator/carbon-monoxide-distance
    value: 30 ft
    source: invented-minutes
    decided-by: Corin Ashby, safety officer
    decided: 2025-10-31
  - replaces: site/supply-voltage-caution-low
    value: 111 V
    source: invented-minutes
    decided-by: Corin Ashby, safety officer
    decided: 2025-10-31
"""


def found(club: Club) -> None:
    """Lay the laptops out, enrol everybody, and put the roster in force everywhere."""
    club.calendar.go_to(club.moment(0, "08:00"))
    for laptop in LAPTOPS:
        mark(club.logs(laptop.name).path)
        _fill(club, laptop.name)
        for person in laptop.people:
            club.calendar.pass_time(60)
            club.keys[laptop.name, person] = make_key(
                club.logs(laptop.name), person, PASSPHRASE, rounds=ROUNDS
            )
    _write_places(club)
    _enrol(club)
    for laptop in LAPTOPS:
        if laptop.name != OFFICERS:
            club.calendar.pass_time(120)
            take_newest_roster(club, laptop.name, key_code(club.officers_key.public))


def take_newest_roster(club: Club, laptop: str, code: str = "") -> None:
    """Put the officer's newest roster in force on a laptop."""
    data = roster_file(Roster.read(club.logs(OFFICERS)))
    take_roster(club.logs(laptop), data, code)


def _enrol(club: Club) -> None:
    officer = club.logs(OFFICERS)
    players = {player.name: player for player in CAST}
    appoint(officer, club.officers_key, players[OFFICER].call_sign)
    trained = (club.first_day.date()).fromordinal(club.first_day.toordinal() - _TRAINED_BEFORE)
    for (laptop, person), key in club.keys.items():
        player = players[person]
        if laptop == OFFICERS:
            continue
        club.calendar.pass_time(180)
        request = ask_to_enrol(
            club.logs(laptop), key, roles=player.roles, call_sign=player.call_sign
        )
        club.calendar.pass_time(60)
        code = key_code(key.public)
        enrol_from(
            officer, club.officers_key, request, code,
            roles=player.roles, trained=trained.isoformat(),
        )  # fmt: skip


def _fill(club: Club, name: str) -> None:
    """Fill the registers, as is done in the first weeks."""
    registers = club.desks[name].registers
    for person in CAST:
        registers.remember_person(Person(person.name, reach=f"channel 0, {NOWHERE}"))
    for instrument in INSTRUMENTS:
        registers.remember_instrument(instrument)
    for point in POINTS:
        registers.remember_isolation_point(IsolationPoint(point))
    for piece in KIT:
        registers.remember_kit(Kit(piece))


def _write_places(club: Club) -> None:
    package = files("checklist.demo").joinpath("places")
    for laptop in LAPTOPS:
        if laptop.station:
            text = package.joinpath(laptop.station).read_text(encoding="utf-8")
            place = club.folder / laptop.name / STATION
            place.write_text(text, encoding="utf-8", newline="\n")
            remember_station(club.logs(laptop.name), place)
    rules = club.folder / "cellar" / "club-rules"
    (rules / "tables").mkdir(parents=True)
    (rules / "sources.yaml").write_text(_CLUB_SOURCES, encoding="utf-8", newline="\n")
    (rules / "tables" / "invented-club.yaml").write_text(
        _CLUB_TABLE, encoding="utf-8", newline="\n"
    )

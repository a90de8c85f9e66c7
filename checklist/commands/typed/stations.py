"""The commands on a station file: look it over, edit it, its bonding and its exposure."""

from __future__ import annotations

import click

from checklist.commands.places import path_named
from checklist.commands.typed.start import Start, json_option, logs_option, start_passed


@click.group(short_help="Look a station file over, edit it, or begin one.")
def station() -> None:
    """Look the file that describes a station over, edit it, or write a first one to change."""


@station.command("check")
@click.argument("file")
@logs_option
@json_option
@start_passed
def station_check(start: Start, file: str, logs: str | None, as_json: bool) -> int:
    """Say what the station FILE holds, or every error in it with its line."""
    from checklist.commands import stationfile

    return stationfile.check_station(start.desk(logs), path_named(file, "FILE"), as_json=as_json)


@station.command("new")
@click.argument("file")
@json_option
@start_passed
def station_new(start: Start, file: str, as_json: bool) -> int:
    """Write an invented station into the new FILE, for you to change; never over another."""
    from checklist.commands import stationfile

    return stationfile.new_station(start.desk(None), path_named(file, "FILE"), as_json=as_json)


@station.command("edit")
@click.argument("file")
@logs_option
@start_passed
def station_edit(start: Start, file: str, logs: str | None) -> int:
    """Edit the station FILE in the screens; comments and layout stay as they are."""
    from checklist.sessions.stations.stationread import station_bytes

    path = path_named(file, "FILE")
    station_bytes(path)  # said here, in one sentence, before any screen opens
    return start.open_screens(start.desk(logs), path, False)


@click.command(short_help="Examine the bonding network of a station file.")
@click.argument("station")
@click.option("--svg", metavar="FILE", help="Also draw the network into a new SVG file.")
@json_option
@start_passed
def bonding(start: Start, station: str, svg: str | None, as_json: bool) -> int:
    """Examine the bonding network in the file STATION, and draw it as a tree.

    Exit code 0 for within, 1 for over, 3 where it is not shown: a size, a length or a
    protector that is not given.
    """
    from checklist.commands.bonding import examine_bonding

    book = start.desk(None).library.book()
    picture = path_named(svg, "--svg") if svg else None
    return examine_bonding(path_named(station, "STATION"), book, picture, as_json=as_json)


@click.command(
    short_help="Evaluate the RF exposure around a station.",
    epilog="\b\nFor example:\n  standclear exposure station.yaml\n"
    "  standclear exposure station.yaml --at '18 m, 4 m, 1.5 m'\n"
    "  standclear exposure station.yaml --variant 'beacon power 10 W + mast height 20 m'\n"
    "  standclear exposure station.yaml --variant 'path: less power' --variant remedies",
)
@click.argument("station")
@click.option("--at", metavar="X,Y,Z", help="E, H and S of each emission at one point instead.")
@click.option("--margin", metavar="SHARE", help="What remedies must reach, as '50 %' of the limit.")
@click.option("--svg", metavar="FOLDER", help="Also draw plots and maps into new SVG files.")
@click.option(
    "--variant",
    "variants",
    metavar="CHANGES",
    multiple=True,
    help="Compare the station with this changed; NAME WORD VALUE, PLACE: REMEDY, or remedies.",
)
@click.option("--into", metavar="FILE", help="Write the one variant as a new station file.")
@logs_option
@json_option
@start_passed
def exposure(
    start: Start,
    station: str,
    at: str | None,
    margin: str | None,
    svg: str | None,
    variants: tuple[str, ...],
    into: str | None,
    logs: str | None,
    as_json: bool,
) -> int:
    """Evaluate the RF exposure around the station in the file STATION, and seek remedies.

    Exit code 0 for within, 1 for over, 3 where it is not shown: an unknown power, an antenna
    outside what a method covers, a handheld near a body. With --variant they are compared
    with the station as it is instead, and the exit code is that of the last one; ` + ` puts
    one change on top of another.
    """
    from checklist.commands.exposure import evaluate_exposure

    path = path_named(station, "STATION")
    folder = path_named(svg, "--svg") if svg else None
    return evaluate_exposure(
        start.desk(logs), path, at, margin,
        svg=folder, variants=variants, into=into, as_json=as_json,
    )  # fmt: skip

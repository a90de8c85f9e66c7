"""The command line: every command with its options, and the help for them."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from checklist import __version__
from checklist.caution import BANNER, US_RULES
from checklist.commands.completing import rule_file_names
from checklist.commands.demoline import demo
from checklist.commands.exits import FINE, MEANINGS, REFUSED
from checklist.commands.manual import manual
from checklist.commands.output import is_plain, print_error, settle_plain
from checklist.commands.pageline import page
from checklist.commands.peopleline import people, receipt
from checklist.commands.places import LOGS_OPTION, LOGS_VARIABLE, logs_named, path_named
from checklist.commands.tagline import tags
from checklist.commands.walkline import (
    PLAIN_HELP,
    begin_walk,
    completion,
    give_up,
    go_on,
    hurt,
    now,
    sign,
)
from checklist.commands.wishes import PLAIN_OPTION
from checklist.sessions.desk import Desk

OpenScreens = Callable[[Desk, str | Path, bool], int]
"""Opens the screens: at a desk; at a rule file by name, a station file by path, or at home (an
empty name); as a rehearsal or not."""


@dataclass(slots=True)
class Start:
    """What the words before the command said, and how screens are opened."""

    open_screens: OpenScreens
    logs: str | None = None

    def desk(self, logs: str | None) -> Desk:
        """Return the desk at the log folder of the command, or of the words before it."""
        return Desk.at(logs_named(self.logs if logs is None else logs))


def run_line(arguments: Sequence[str], open_screens: OpenScreens) -> int:
    """Return the number to end with after doing what the arguments say.

    Raises StandclearError and whatever a command raises; what click refuses is said here.
    """
    try:
        number = standclear.main(
            args=settle_plain(arguments, os.environ),
            prog_name="standclear",
            standalone_mode=False,
            obj=Start(open_screens),
        )
    except click.ClickException as refused:
        print_error(f"{refused.format_message()} See standclear --help.")
        return REFUSED
    except click.Abort:
        raise KeyboardInterrupt from None
    return number if isinstance(number, int) else FINE


def _help_end() -> str:
    codes = "\n".join(f"  {number:>3}  {meaning}" for number, meaning in MEANINGS.items())
    return f"\b\nExit codes:\n{codes}\n\n\b\n{BANNER}\n{US_RULES}"


_logs = click.option(
    LOGS_OPTION,
    "logs",
    metavar="FOLDER",
    help=f"The log folder; otherwise {LOGS_VARIABLE}, or the one made on first start.",
)
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
_start = click.pass_obj


@click.group(
    invoke_without_command=True,
    epilog=_help_end(),
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="standclear", message="%(prog)s %(version)s")
@_logs
@click.option(PLAIN_OPTION, "is_plain_wished", is_flag=True, expose_value=False, help=PLAIN_HELP)
@click.pass_context
def standclear(context: click.Context, logs: str | None) -> int:
    """Walk safety checks at an amateur-radio station, compute, and keep signed logs.

    Without a command the screens open at home; with --plain it is told in lines.
    """
    start: Start = context.obj
    start.logs = logs
    if context.invoked_subcommand is None and is_plain():
        from checklist.commands.now import print_now

        return print_now(start.desk(None), as_json=False)
    if context.invoked_subcommand is None:
        return start.open_screens(start.desk(None), "", False)
    return FINE


@standclear.command(short_help="Walk the rule file NAME on record.")
@click.argument("name", shell_complete=rule_file_names)
@_logs
@_start
def walk(start: Start, name: str, logs: str | None) -> int:
    """Walk the rule file NAME on record, in the screens, or line by line with --plain."""
    return begin_walk(start.desk(logs), name, start.open_screens, rehearse=False)


@standclear.command()
@click.argument("name", shell_complete=rule_file_names)
@_logs
@_start
def rehearse(start: Start, name: str, logs: str | None) -> int:
    """Walk the rule file NAME for teaching; nothing is kept."""
    return begin_walk(start.desk(logs), name, start.open_screens, rehearse=True)


@standclear.command(short_help="List past sessions.")
@click.argument("text", nargs=-1)
@click.option("--rule-file", default="", metavar="NAME", help="Only walks of this rule file.")
@click.option("--person", default="", help="Only sessions with this person.")
@click.option("--verdict", default="", help="Only sessions that ended with this verdict.")
@click.option("--since", metavar="DATE", help="Begun on this day or later, as 2026-11-25.")
@click.option("--until", metavar="DATE", help="Begun on this day or earlier.")
@_logs
@_json
@_start
def review(
    start: Start,
    text: tuple[str, ...],
    rule_file: str,
    person: str,
    verdict: str,
    since: str | None,
    until: str | None,
    logs: str | None,
    as_json: bool,
) -> int:
    """List past sessions, newest first, that hold every word of TEXT.

    Exit code 3 where part of the record could not be read, so that a session may be missing.
    """
    from checklist.commands.review import list_sessions, wanted_days
    from checklist.sessions.past.finding import Filter

    wanted = Filter(" ".join(text), rule_file, person, verdict, *wanted_days(since, until))
    return list_sessions(start.desk(logs), wanted, as_json=as_json)


@standclear.command(short_help="Print one whole session.")
@click.argument("session")
@_logs
@_json
@_start
def show(start: Start, session: str, logs: str | None, as_json: bool) -> int:
    """Print one whole SESSION: who, when, every answer, finding and signature.

    SESSION is its name or the first 6 characters. Exit code 1 where part of it does not hold.
    """
    from checklist.commands.review import show_session

    return show_session(start.desk(logs), session, as_json=as_json)


@standclear.command(short_help="Verify a log folder.")
@click.argument("folder", default="")
@click.option(
    "--session", metavar="ID", help="Only this session, and the ledger; 6 characters suffice."
)
@_logs
@_json
@_start
def verify(start: Start, folder: str, session: str | None, logs: str | None, as_json: bool) -> int:
    """Verify the log FOLDER, or the own one: hashes, chain, signatures, kept files.

    Who the signers are is told by the roster pinned in the folder, and that nothing was cut off
    by receipts; without them the best is exit code 3.
    """
    from checklist.commands.verify import verify_folder

    desk = Desk.at(path_named(folder, "FOLDER")) if folder else start.desk(logs)
    return verify_folder(desk, session, as_json=as_json)


@standclear.command(short_help="Audit log folders.")
@click.argument("folders", nargs=-1, metavar="[FOLDER ...]")
@click.option("--recompute", is_flag=True, help="Compute every stored finding again.")
@click.option("--countersign", default="", metavar="NAME", help="Sign the audit as officer NAME.")
@_logs
@_json
@_start
def audit(
    start: Start,
    folders: tuple[str, ...],
    recompute: bool,
    countersign: str,
    logs: str | None,
    as_json: bool,
) -> int:
    """Audit any number of log FOLDERs, or the own one: what holds, and what does not.

    Signatures are held against the roster of the own log folder, into which --countersign
    signs the report. Exit code 0 where everything holds, 1 where anything fails, 3 for
    warnings and what cannot be told.
    """
    from checklist.commands.audit import audit_folders

    paths = [path_named(folder, "FOLDER") for folder in folders]
    return audit_folders(
        start.desk(logs), paths, recompute=recompute, officer=countersign, as_json=as_json
    )


@standclear.command(short_help="Correct an answer of a finished session.")
@click.argument("session")
@click.argument("step")
@click.argument("answer", nargs=-1, metavar="[ANSWER ...]")
@click.option("--reason", required=True, help="What was wrong.")
@click.option("--by", "person", required=True, metavar="NAME", help="Who corrects and signs.")
@click.option(
    "--as",
    "role",
    type=click.Choice(["in charge", "worker", "helper", "safety officer"]),
    default="in charge",
    help="In which role.",
)
@click.option("--with", "instrument", default="", help="The instrument of a reading.")
@click.option("--not-applying", default="", metavar="WHY", help="The step does not apply.")
@_logs
@_json
@_start
def correct(
    start: Start,
    session: str,
    step: str,
    answer: tuple[str, ...],
    reason: str,
    person: str,
    role: str,
    instrument: str,
    not_applying: str,
    logs: str | None,
    as_json: bool,
) -> int:
    """Correct the ANSWER to a STEP of a finished SESSION by an entry that is added and signed.

    Nothing that stands is changed: review shows both answers, and both results.
    """
    from checklist.commands.correct import correct_answer

    return correct_answer(
        start.desk(logs), session, step, answer, reason=reason, person=person, role=role,
        instrument=instrument, not_applying=not_applying, as_json=as_json,
    )  # fmt: skip


@standclear.command(short_help="Export one session for a stranger to check.")
@click.argument("session")
@click.argument("folder")
@_logs
@_json
@_start
def export(start: Start, session: str, folder: str, logs: str | None, as_json: bool) -> int:
    """Write one finished SESSION into a new FOLDER, with the steps for checking it by hand.

    Nothing but sha256sum, OpenSSL 3 and a text editor is needed there.
    """
    from checklist.commands.export import export_session

    return export_session(start.desk(logs), session, path_named(folder, "FOLDER"), as_json=as_json)


@standclear.command(short_help="List what the checks rest on.")
@click.argument("text", nargs=-1)
@_logs
@_json
@_start
def numbers(start: Start, text: tuple[str, ...], logs: str | None, as_json: bool) -> int:
    """List every value and limit in use that holds all words of TEXT.

    Each with its citation, edition and standing, and with the steps and calculations that use
    it. “unverified” finds what is only from memory, “club” what the club put in the place of
    shipped values, “unused” what nothing uses.
    """
    from checklist.commands.numbers import list_numbers

    return list_numbers(start.desk(logs).library, text, as_json=as_json)


@standclear.command("check-rules", short_help="Check rule files and run their examples.")
@click.argument("files", nargs=-1, metavar="[FILE ...]")
@_logs
@_json
@_start
def check_rules(start: Start, files: tuple[str, ...], logs: str | None, as_json: bool) -> int:
    """Check rule files strictly, every error with its place, and run their examples.

    Without a FILE everything in the club's folder is checked, its tables and sources too.
    """
    from checklist.commands import rules as checking

    paths: list[Path] = [path_named(file, "FILE") for file in files]
    return checking.check_rules(start.desk(logs).library, paths, as_json=as_json)


@standclear.command("copy-rules", short_help="Copy a rule file to change it.")
@click.argument("name")
@click.argument("new_name", metavar="NEWNAME")
@_logs
@_json
@_start
def copy_rules(start: Start, name: str, new_name: str, logs: str | None, as_json: bool) -> int:
    """Copy the rule file NAME into the club's folder as NEWNAME, for you to change."""
    from checklist.commands import authoring

    return authoring.copy_rules(start.desk(logs), name, new_name, as_json=as_json)


@standclear.command(short_help="Print the JSON Schema of rule files.")
def schema() -> int:
    """Print the JSON Schema of rule files, so that an editor can help while one writes."""
    from checklist.commands import authoring

    return authoring.print_schema()


@standclear.command(short_help="List the rule files at hand.")
@_logs
@_json
@_start
def rules(start: Start, logs: str | None, as_json: bool) -> int:
    """List the rule files at hand, shipped ones and the club's own."""
    from checklist.commands import rules as listing

    return listing.list_rules(start.desk(logs).library, as_json=as_json)


@standclear.command(
    short_help="Run, explain or list calculations.",
    epilog="\b\nFor example:\n  standclear calculate ladder-set-back\n"
    "  standclear calculate ladder-set-back working-length='20 ft' set-back='5 ft'",
)
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1, metavar="[INPUT=QUANTITY ...]")
@click.option("--explain", is_flag=True, help="Say every step in whole sentences, for a class.")
@click.option("--picture", is_flag=True, help="Also draw the result, where it has a picture.")
@click.option("--svg", metavar="FILE", help="Also draw it into a new SVG file.")
@_json
@_start
def calculate(
    start: Start,
    name: str | None,
    inputs: tuple[str, ...],
    explain: bool,
    picture: bool,
    svg: str | None,
    as_json: bool,
) -> int:
    """Run the calculation NAME; without inputs explain it, without NAME list all.

    Exit code 0 for within, 1 for over, 3 where it is not shown: an input unknown, or a case
    that the method does not cover.
    """
    from checklist.commands import calculate as calculating

    book = start.desk(None).library.book()
    file = path_named(svg, "--svg") if svg else None
    drawn = calculating.Shown(explained=explain, drawn=picture, svg=file, as_json=as_json)
    return calculating.calculate(name, inputs, book, drawn)


@standclear.group(short_help="Look a station file over, edit it, or begin one.")
def station() -> None:
    """Look the file that describes a station over, edit it, or write a first one to change."""


@station.command("check")
@click.argument("file")
@_logs
@_json
@_start
def station_check(start: Start, file: str, logs: str | None, as_json: bool) -> int:
    """Say what the station FILE holds, or every error in it with its line."""
    from checklist.commands import stationfile

    return stationfile.check_station(start.desk(logs), path_named(file, "FILE"), as_json=as_json)


@station.command("new")
@click.argument("file")
@_json
@_start
def station_new(start: Start, file: str, as_json: bool) -> int:
    """Write an invented station into the new FILE, for you to change; never over another."""
    from checklist.commands import stationfile

    return stationfile.new_station(start.desk(None), path_named(file, "FILE"), as_json=as_json)


@station.command("edit")
@click.argument("file")
@_logs
@_start
def station_edit(start: Start, file: str, logs: str | None) -> int:
    """Edit the station FILE in the screens; comments and layout stay as they are."""
    from checklist.sessions.stations.stationread import station_bytes

    path = path_named(file, "FILE")
    station_bytes(path)  # said here, in one sentence, before any screen opens
    return start.open_screens(start.desk(logs), path, False)


@standclear.command(short_help="Examine the bonding network of a station file.")
@click.argument("station")
@click.option("--svg", metavar="FILE", help="Also draw the network into a new SVG file.")
@_json
@_start
def bonding(start: Start, station: str, svg: str | None, as_json: bool) -> int:
    """Examine the bonding network in the file STATION, and draw it as a tree.

    Exit code 0 for within, 1 for over, 3 where it is not shown: a size, a length or a
    protector that is not given.
    """
    from checklist.commands.bonding import examine_bonding

    book = start.desk(None).library.book()
    picture = path_named(svg, "--svg") if svg else None
    return examine_bonding(path_named(station, "STATION"), book, picture, as_json=as_json)


@standclear.command(
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
@_logs
@_json
@_start
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


standclear.add_command(demo)
standclear.add_command(manual)
standclear.add_command(tags)
standclear.add_command(page)
standclear.add_command(people)
standclear.add_command(receipt)
for _command in (go_on, give_up, sign, hurt, now, completion):
    standclear.add_command(_command)

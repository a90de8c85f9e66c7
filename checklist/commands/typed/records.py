"""The commands on what was signed: find, show, verify, audit, correct, export."""

from __future__ import annotations

import click

from checklist.commands.places import path_named
from checklist.commands.typed.start import Start, json_option, logs_option, start_passed
from checklist.sessions.desk import Desk


@click.command(short_help="List past sessions.")
@click.argument("text", nargs=-1)
@click.option("--rule-file", default="", metavar="NAME", help="Only walks of this rule file.")
@click.option("--person", default="", help="Only sessions with this person.")
@click.option("--verdict", default="", help="Only sessions that ended with this verdict.")
@click.option("--since", metavar="DATE", help="Begun on this day or later, as 2026-11-25.")
@click.option("--until", metavar="DATE", help="Begun on this day or earlier.")
@logs_option
@json_option
@start_passed
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

    TEXT may say verdict:stopped, person:Tamsin, rule:tower, from: and to: as on the screen.

    Exit code 3 where part of the record could not be read, so that a session may be missing.
    """
    from checklist.commands.review import list_sessions, wanted_days
    from checklist.sessions.past.finding import Filter, read_filter

    typed = read_filter(" ".join(text))
    first, last = wanted_days(since, until)
    wanted = Filter(
        typed.text,
        rule_file or typed.rule_file,
        person or typed.person,
        verdict or typed.verdict,
        first or typed.since,
        last or typed.until,
    )
    return list_sessions(start.desk(logs), wanted, as_json=as_json)


@click.command(short_help="Print one whole session.")
@click.argument("session")
@logs_option
@json_option
@start_passed
def show(start: Start, session: str, logs: str | None, as_json: bool) -> int:
    """Print one whole SESSION: who, when, every answer, finding and signature.

    SESSION is its name or the first 6 characters. Exit code 1 where part of it does not hold.
    """
    from checklist.commands.review import show_session

    return show_session(start.desk(logs), session, as_json=as_json)


@click.command(short_help="Verify a log folder.")
@click.argument("folder", default="")
@click.option(
    "--session", metavar="ID", help="Only this session, and the ledger; 6 characters suffice."
)
@logs_option
@json_option
@start_passed
def verify(start: Start, folder: str, session: str | None, logs: str | None, as_json: bool) -> int:
    """Verify the log FOLDER, or the own one: hashes, chain, signatures, kept files.

    Who the signers are is told by the roster pinned in the folder, and that nothing was cut off
    by receipts; without them the best is exit code 3.
    """
    from checklist.commands.verify import verify_folder

    desk = Desk.at(path_named(folder, "FOLDER")) if folder else start.desk(logs)
    return verify_folder(desk, session, as_json=as_json)


@click.command(short_help="Audit log folders.")
@click.argument("folders", nargs=-1, metavar="[FOLDER ...]")
@click.option("--recompute", is_flag=True, help="Compute every stored finding again.")
@click.option("--countersign", default="", metavar="NAME", help="Sign the audit as officer NAME.")
@logs_option
@json_option
@start_passed
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


@click.command(short_help="Correct an answer of a finished session.")
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
@logs_option
@json_option
@start_passed
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


@click.command(short_help="Export one session for a stranger to check.")
@click.argument("session")
@click.argument("folder")
@logs_option
@json_option
@start_passed
def export(start: Start, session: str, folder: str, logs: str | None, as_json: bool) -> int:
    """Write one finished SESSION into a new FOLDER, with the steps for checking it by hand.

    Nothing but sha256sum, OpenSSL 3 and a text editor is needed there.
    """
    from checklist.commands.export import export_session

    return export_session(start.desk(logs), session, path_named(folder, "FOLDER"), as_json=as_json)

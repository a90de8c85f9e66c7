"""Makes each kind of page from what is at hand: the log folder, rule files, a station file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.pages.identity import of_bytes, of_session
from checklist.pages.page import Page
from checklist.record.files.folder import LogFolder
from checklist.sessions.desk import Desk
from checklist.sessions.invented import NOT_REAL, mark_for
from checklist.sessions.stations.stationread import station_bytes

if TYPE_CHECKING:
    from checklist.audit.report import AuditReport
    from checklist.sessions.variants.variant import Source, Variant

INVENTED = NOT_REAL
"""Stands first on every sheet that comes from an invented club."""

Tell = Callable[[str, int, int], None]
"""Hears what is worked on, how much of it is done, and of how much; what it raises ends it."""


Sheet = tuple[str, Callable[[Tell], Page | None]]
"""What a page's file is called, and what makes it; None where there is nothing to print.

It may be slow: a screen runs it in a thread.
"""


def silent(what: str, done: int, of: int) -> None:
    """Hear of progress and say nothing."""
    del what, done, of


def marked(page: Page, *logs: Path) -> Page:
    """Return the page, said to be an invented club's where one of the log folders is marked so."""
    return replace(page, head=mark_for(*logs))


def page_of_session(folder: LogFolder, session_id: str) -> Page:
    """Return the record of one session; raises StandclearError where it cannot be read."""
    from checklist.pages.sessionpage import session_page
    from checklist.sessions.past.review import read_session

    page = session_page(read_session(folder, session_id), of_session(folder, session_id))
    return marked(page, folder.path)


def pages_of_session(desk: Desk, session_id: str) -> tuple[Sheet, ...]:
    """Return what a session gives on paper: its record, evaluation and bonding network."""
    name = session_id[:8]
    return (
        (f"session {name}", lambda tell: page_of_session(desk.folder, session_id)),
        (f"evaluation {name}", lambda tell: _evaluation_if_any(desk, session_id, tell)),
        (f"bonding {name}", lambda tell: _bonding_if_any(desk, session_id)),
    )


def _evaluation_if_any(desk: Desk, session_id: str, tell: Tell) -> Page | None:
    from checklist.pages.keptevaluation import NoEvaluationKept

    try:
        return page_of_kept_evaluation(desk, desk.folder, session_id, tell)
    except NoEvaluationKept:
        return None


def _bonding_if_any(desk: Desk, session_id: str) -> Page | None:
    from checklist.pages.keptbonding import NoNetworkKept

    try:
        return page_of_kept_bonding(desk.folder, session_id)
    except NoNetworkKept:
        return None


def page_of_kept_bonding(folder: LogFolder, session_id: str) -> Page:
    """Return the bonding network that a session judged, as its kept station file had it.

    Raises StandclearError where it judged none, and Damaged where the file was changed since.
    """
    from checklist.pages.keptbonding import kept_bonding_page
    from checklist.sessions.past.review import read_session

    record = read_session(folder, session_id)
    page = kept_bonding_page(record, folder, of_session(folder, session_id))
    return marked(page, folder.path)


def page_of_kept_evaluation(desk: Desk, folder: LogFolder, session_id: str, tell: Tell) -> Page:
    """Return the evaluation that a session kept, with who signed it.

    Raises StandclearError where the session kept none, and Damaged where it was changed since.
    """
    from checklist.calculations.exposure.figures import figures
    from checklist.pages.evaluationpage import evaluation_page
    from checklist.pages.exposurepictures import exposure_pictures
    from checklist.pages.keptevaluation import evaluation_in, signed_blocks, standing_of
    from checklist.sessions.past.review import read_session

    record = read_session(folder, session_id)
    found, step = evaluation_in(record, folder)
    pictures = exposure_pictures(found.evaluation, figures(desk.library.book()), tell)
    identity = of_session(folder, session_id)
    signed = tuple(signed_blocks(record, step))
    page = evaluation_page(found, identity, pictures, signed, standing_of(record))
    return marked(page, folder.path)


def page_of_station_exposure(desk: Desk, path: Path, tell: Tell) -> Page:
    """Return the evaluation of a station file as it is now: a draft, on no record."""
    from checklist.pages.evaluationpage import evaluation_page
    from checklist.pages.exposurepictures import exposure_pictures
    from checklist.sessions.stations.exposing import describe, expose, on_file, remedies_for

    data = station_bytes(path)
    exposed = expose(describe(desk, path), tell)
    found = on_file(exposed, remedies_for(exposed, None, tell))
    pictures = exposure_pictures(found.evaluation, exposed.described.figures, tell)
    identity = of_bytes(f"Station file {path.name}: DRAFT, not on record", data)
    return marked(evaluation_page(found, identity, pictures), *_logs_of(desk, path))


def page_of_variant(desk: Desk, source: Source, variant: Variant, tell: Tell) -> Page:
    """Return the evaluation of a variant that no file holds: what is changed in it stands first."""
    from checklist.pages.evaluationpage import evaluation_page, unsaved
    from checklist.pages.exposurepictures import exposure_pictures
    from checklist.sessions.stations.exposing import expose, on_file, remedies_for

    exposed = expose(variant.described, tell)
    found = on_file(exposed, remedies_for(exposed, None, tell))
    pictures = exposure_pictures(found.evaluation, exposed.described.figures, tell)
    says = f"A VARIANT of the station file {source.path.name}, saved in no file: DRAFT"
    identity = of_bytes(says, source.text.encode())
    standing = unsaved(source.path.name, [step.says for step in variant.steps])
    page = evaluation_page(found, identity, pictures, standing=standing)
    return marked(page, *_logs_of(desk, source.path))


def page_of_bonding(desk: Desk, path: Path) -> Page:
    """Return the bonding diagram of a station file; StandclearError where it describes none."""
    from checklist.calculations.bonding.network_findings import examine
    from checklist.pages.bondingpage import bonding_page
    from checklist.sessions.stations.stationread import station_in

    data = station_bytes(path)
    book = desk.library.book()
    station = station_in(data, path.name, book)
    if station.bonding is None:
        raise StandclearError(
            "it describes no bonding network", where=path.name, right="Add bonding: to it."
        )
    network = station.bonding.network()
    identity = of_bytes(f"Station file {path.name} as it is today, on no record", data)
    page = bonding_page(station.name, network, examine(network, book), identity)
    return marked(page, *_logs_of(desk, path))


def _logs_of(desk: Desk, path: Path) -> tuple[Path, Path]:
    """Return the log folders that may say that a station is invented: in use, and beside it."""
    return desk.logs, path.parent / desk.logs.name


def page_of_audit(desk: Desk, folders: Sequence[Path], tell: Tell) -> Page:
    """Audit the folders, or the own one, and return the report."""
    from checklist.audit.auditing import audit_paths, wanted_at

    paths = tuple(folders) or (desk.logs,)

    def said(folder: str, how_far: str) -> None:
        tell(f"{Path(folder).name}: {how_far}", 0, len(paths))

    return page_of_report(audit_paths(desk, wanted_at(desk, paths), said))


def page_of_report(report: AuditReport) -> Page:
    """Return the page of an audit that was made."""
    from checklist.pages.auditpage import audit_page

    return marked(audit_page(report), *(Path(folder.path) for folder in report.folders))


def page_of_tag(desk: Desk, folder: LogFolder, name: str) -> Page:
    """Return the page of a tag that hangs, by the beginning of its id or its lock's number."""
    from checklist.pages.tagsheet import identity_of, tag_sheet
    from checklist.record.ledgers.ledger import Ledger
    from checklist.sessions.tagging.tags import look_at_tags, tag_named

    tag = tag_named(look_at_tags(folder), name)
    identity = identity_of(tag, Ledger(folder).entries())
    return marked(tag_sheet(tag, desk.library.book(), identity, mark_for(folder.path)), folder.path)


def page_of_form(desk: Desk, name: str) -> Page:
    """Return the rule file `name` as a blank form; raises StandclearError where it is not right."""
    from checklist.pages.form import blank_form
    from checklist.sessions.library import RULE_FILE

    loaded = desk.library.load(name)
    page = blank_form(loaded.rule_file, loaded.book, loaded.texts[RULE_FILE])
    return marked(page, desk.logs)


def hurt_card_for(desk: Desk, path: Path | None) -> Page:
    """Return the card for the wall, with address and way in where a station file is named."""
    from checklist.pages.hurt import hurt_card
    from checklist.sessions.stations.stationfile import read_station_file

    if path is None:
        return marked(hurt_card(), desk.logs)
    place = read_station_file(desk, path).location
    said = [place.address, place.way_in]
    if place.latitude is not None and place.longitude is not None:
        said.append(f"{place.latitude} north, {place.longitude} east")
    card = hurt_card("\n".join(line for line in said if line))
    return marked(card, *_logs_of(desk, path))

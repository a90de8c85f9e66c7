"""Makes each kind of page from what is at hand: the log folder, rule files, a station file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from checklist.errors import StandclearError
from checklist.pages.identity import of_bytes, of_session
from checklist.pages.page import Page
from checklist.record.files.folder import LogFolder
from checklist.sessions.desk import Desk
from checklist.sessions.stations.stationread import station_bytes

Tell = Callable[[str, int, int], None]
"""Hears what is worked on, how much of it is done, and of how much; what it raises ends it."""


Sheet = tuple[str, Callable[[Tell], Page | None]]
"""What a page's file is called, and what makes it; None where there is nothing to print.

It may be slow: a screen runs it in a thread.
"""


def silent(what: str, done: int, of: int) -> None:
    """Hear of progress and say nothing."""
    del what, done, of


def page_of_session(folder: LogFolder, session_id: str) -> Page:
    """Return the record of one session; raises StandclearError where it cannot be read."""
    from checklist.pages.sessionpage import session_page
    from checklist.sessions.past.review import read_session

    return session_page(read_session(folder, session_id), of_session(folder, session_id))


def pages_of_session(desk: Desk, session_id: str) -> tuple[Sheet, Sheet]:
    """Return what a session gives on paper: its record, and the evaluation if it kept one."""
    name = session_id[:8]
    return (
        (f"session {name}", lambda tell: page_of_session(desk.folder, session_id)),
        (f"evaluation {name}", lambda tell: _evaluation_if_any(desk, session_id, tell)),
    )


def _evaluation_if_any(desk: Desk, session_id: str, tell: Tell) -> Page | None:
    from checklist.pages.keptevaluation import NoEvaluationKept

    try:
        return page_of_kept_evaluation(desk, desk.folder, session_id, tell)
    except NoEvaluationKept:
        return None


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
    return evaluation_page(found, identity, pictures, signed, standing_of(record))


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
    return evaluation_page(found, identity, pictures)


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
    return bonding_page(station.name, network, examine(network, book), identity)


def page_of_audit(desk: Desk, folders: Sequence[Path], tell: Tell) -> Page:
    """Audit the folders, or the own one, and return the report."""
    from checklist.audit.auditing import audit_paths, wanted_at
    from checklist.pages.auditpage import audit_page

    paths = tuple(folders) or (desk.logs,)

    def said(folder: str, how_far: str) -> None:
        tell(f"{Path(folder).name}: {how_far}", 0, len(paths))

    return audit_page(audit_paths(desk, wanted_at(desk, paths), said))


def page_of_tag(desk: Desk, folder: LogFolder, name: str) -> Page:
    """Return the page of a tag that hangs, by the beginning of its id or its lock's number."""
    from checklist.pages.tagsheet import identity_of, tag_sheet
    from checklist.record.ledgers.ledger import Ledger
    from checklist.sessions.tagging.tags import look_at_tags, tag_named

    tag = tag_named(look_at_tags(folder), name)
    return tag_sheet(tag, desk.library.book(), identity_of(tag, Ledger(folder).entries()))


def page_of_form(desk: Desk, name: str) -> Page:
    """Return the rule file `name` as a blank form; raises StandclearError where it is not right."""
    from checklist.pages.form import blank_form
    from checklist.sessions.library import RULE_FILE

    loaded = desk.library.load(name)
    return blank_form(loaded.rule_file, loaded.book, loaded.texts[RULE_FILE])


def hurt_card_for(desk: Desk, path: Path | None) -> Page:
    """Return the card for the wall, with address and way in where a station file is named."""
    from checklist.pages.hurt import hurt_card
    from checklist.sessions.stations.stationfile import read_station_file

    if path is None:
        return hurt_card()
    place = read_station_file(desk, path).location
    said = [place.address, place.way_in]
    if place.latitude is not None and place.longitude is not None:
        said.append(f"{place.latitude} north, {place.longitude} east")
    return hurt_card("\n".join(line for line in said if line))

"""Prints a page, or writes it into a new file as PDF or plain text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.commands.done import is_json, say_done
from checklist.commands.exits import FINE
from checklist.commands.output import is_plain, print_lines, print_sheets
from checklist.commands.progress import SaidProgress
from checklist.errors import StandclearError
from checklist.pages import making
from checklist.pages.page import Page, Paper
from checklist.pages.writing import Form, page_bytes, write_page
from checklist.plaintext import shown
from checklist.record.files.folder import LogFolder
from checklist.sessions.past.review import session_named

if TYPE_CHECKING:
    from checklist.calculations.exposure import Remedies
    from checklist.sessions.desk import Desk
    from checklist.sessions.stations.exposing import Progress
    from checklist.sessions.variants.variant import Variant


@dataclass(frozen=True, slots=True)
class Target:
    """Where a page goes, and on what paper."""

    path: Path | None
    """None to print it as text."""

    paper: Paper


def print_session(desk: Desk, name: str, target: Target) -> int:
    """Print the record of a session, called by its name or the beginning of it."""
    folder = _looked(desk)
    return _out(desk, making.page_of_session(folder, session_named(folder, name)), target)


def print_evaluation(desk: Desk, what: str, path: Path, variant: str, target: Target) -> int:
    """Print the evaluation of a station file or a variant of it, or the one that a session kept."""
    said = SaidProgress()
    if variant:
        page = _of_variant(desk, path, variant, said)
    elif path.exists():
        page = making.page_of_station_exposure(desk, path, said)
    else:
        folder, session_id = _session_or_refuse(desk, what)
        page = making.page_of_kept_evaluation(desk, folder, session_id, said)
    said.end()
    return _out(desk, page, target)


def _of_variant(desk: Desk, path: Path, text: str, said: Progress) -> Page:
    from checklist.sessions.stations.exposing import expose, remedies_for
    from checklist.sessions.variants.variant import source_of
    from checklist.sessions.variants.words import variants_of

    source = source_of(desk, path)

    def remedied(variant: Variant) -> tuple[Remedies, ...]:
        return remedies_for(expose(variant.described, said), None, said)

    found = variants_of(source, [text], lambda one: expose(one.described, said), remedied)
    if len(found) != 1:
        raise StandclearError(
            "that describes no single variant", where="--variant", right="Name one."
        )
    return making.page_of_variant(desk, source, found[0], said)


def print_bonding(desk: Desk, what: str, path: Path, target: Target) -> int:
    """Print the bonding diagram of a station file, or of the one that a session judged."""
    if path.exists():
        return _out(desk, making.page_of_bonding(desk, path), target)
    folder, session_id = _session_or_refuse(desk, what)
    return _out(desk, making.page_of_kept_bonding(folder, session_id), target)


def print_audit(desk: Desk, folders: Sequence[Path], target: Target) -> int:
    """Audit the folders, or the own one, and print the report."""
    said = SaidProgress()
    page = making.page_of_audit(desk, folders, said)
    said.end()
    return _out(desk, page, target)


def print_tag_sheet(desk: Desk, name: str, target: Target) -> int:
    """Print the page of a tag that hangs."""
    return _out(desk, making.page_of_tag(desk, _looked(desk), name), target)


def print_form(desk: Desk, name: str, target: Target) -> int:
    """Print a rule file as a blank form."""
    return _out(desk, making.page_of_form(desk, name), target)


def print_card(desk: Desk, station: Path | None, target: Target) -> int:
    """Print the card for the wall."""
    return _out(desk, making.hurt_card_for(desk, station), target)


def _out(desk: Desk, page: Page, target: Target) -> int:
    form: Form = "sentences" if is_plain() else "text"
    if target.path is None and is_json():
        say_done(page_bytes(page, "sentences").decode().splitlines(), {"page": page.title})
    elif target.path is None:
        text = page_bytes(page, form).decode()
        print_lines(text.splitlines()) if is_plain() else print_sheets(text)
    else:
        spoken: Form | None = form if target.path.suffix == ".txt" else None
        made = write_page(desk.disk, page, target.path, paper=target.paper, form=spoken)
        say_done([made.says], {"page": page.title, "written": str(made.path)})
    return FINE


def _looked(desk: Desk) -> LogFolder:
    """Return the log folder to read; raises FolderRefused where there is none."""
    return LogFolder.look(desk.logs, desk.disk, desk.clock)


def _session_or_refuse(desk: Desk, what: str) -> tuple[LogFolder, str]:
    try:
        folder = _looked(desk)
        return folder, session_named(folder, what)
    except StandclearError as refused:
        raise StandclearError(
            "there is no such file, and no session of that name", where=shown(what[:60]),
            right=refused.right,
        ) from None  # fmt: skip

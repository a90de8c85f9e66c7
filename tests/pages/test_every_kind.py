"""Every kind of page, printed from the invented club, in every form and on both papers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from checklist.caution import BANNER
from checklist.demo.building import build
from checklist.demo.club import Club
from checklist.errors import StandclearError
from checklist.pages import making
from checklist.pages.making import INVENTED, silent
from checklist.pages.page import PAPERS, Drawn, Page
from checklist.pages.pdf import as_pdf
from checklist.pages.plaindraw import as_sentences
from checklist.pages.textdraw import FEED, as_text
from checklist.sessions.desk import Desk

LOCK = "9"
"""The lock that still hangs in the invented club."""


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Club:
    return build(tmp_path_factory.mktemp("printed") / "club", whole_year=False)


def station_of(desk: Desk) -> Path:
    return desk.logs.parent / "station.yaml"


KINDS: dict[str, Callable[[Desk, Club], Page]] = {
    "session": lambda desk, club: making.page_of_session(desk.folder, club.sessions["climb"]),
    "kept evaluation": lambda desk, club: making.page_of_kept_evaluation(
        desk, desk.folder, club.sessions["evaluation"], silent
    ),
    "evaluation of a station": lambda desk, club: making.page_of_station_exposure(
        desk, station_of(desk), silent
    ),
    "bonding": lambda desk, club: making.page_of_bonding(desk, station_of(desk)),
    "kept bonding": lambda desk, club: making.page_of_kept_bonding(
        desk.folder, club.sessions["bonding"]
    ),
    "audit": lambda desk, club: making.page_of_audit(desk, (), silent),
    "tag": lambda desk, club: making.page_of_tag(desk, desk.folder, LOCK),
    "form": lambda desk, club: making.page_of_form(desk, "release"),
    "hurt": lambda desk, club: making.hurt_card_for(desk, None),
    "hurt, at a station": lambda desk, club: making.hurt_card_for(desk, station_of(desk)),
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_sheet_of_every_kind_says_whose_it_is_and_what_it_is_not(
    kind: str, club: Club
) -> None:
    """Invented club, banner, identity, code, number and what it is not: on each sheet."""
    page = KINDS[kind](club.desks["hill"], club)
    sheets = as_text(page).split(FEED)
    wanted = [INVENTED, BANNER, page.identity.says, page.identity.code, page.is_not]

    assert page.identity.code
    assert as_sentences(page).startswith(INVENTED)
    for number, sheet in enumerate(sheets, start=1):
        one_line = " ".join(sheet.split())
        assert [w for w in wanted if " ".join(w.split()) not in one_line] == []
        assert f"page {number} of {len(sheets)}" in one_line


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_the_same_bytes_twice(kind: str, club: Club) -> None:
    """Made anew from the same records, a page is equal in text and as PDF, on both papers."""
    one, other = (KINDS[kind](club.desks["hill"], club) for _ in range(2))

    assert as_text(one) == as_text(other)
    for paper in PAPERS:
        assert as_pdf(one, paper) == as_pdf(other, paper)


def test_a_real_club_is_not_called_invented(club: Club, tmp_path: Path) -> None:
    """Without the mark in the log folder a page says nothing about invention."""
    page = KINDS["hurt"](club.desks["hill"], club)

    assert making.marked(page, club.desks["hill"].logs).head == INVENTED
    assert making.marked(replace(page, head=""), tmp_path).head == ""


def test_what_is_cut_out_of_the_sheet_says_that_it_is_invented(club: Club) -> None:
    """The tag that hangs at the point bears the mark itself, in the picture and as text."""
    desk = club.desks["hill"]
    (sheet,) = making.page_of_tag(desk, desk.folder, LOCK).blocks

    assert isinstance(sheet, Drawn)
    assert sheet.svg.count(INVENTED) == 1
    assert sheet.lines[0].strip() == INVENTED == sheet.lines[-2]


def test_kept_bonding_is_the_network_of_that_day(club: Club) -> None:
    """The station file of today is not looked at: what the session kept is drawn, and signed."""
    desk, kept = club.desks["hill"], club.sessions["bonding"]
    before = as_text(making.page_of_kept_bonding(desk.folder, kept))
    file = station_of(desk)
    written = file.read_bytes()
    file.write_bytes(b"standclear station: nothing\n")
    try:
        after = as_text(making.page_of_kept_bonding(desk.folder, kept))
    finally:
        file.write_bytes(written)
    drawing = [
        line for line in as_text(making.page_of_bonding(desk, file)).splitlines() if "+-- " in line
    ]

    assert drawing
    assert [line for line in drawing if line not in after] == []
    assert "Signatures" in before
    assert "On record" in before


def test_a_session_without_a_network_is_refused(club: Club) -> None:
    """A diagram is never made of nothing."""
    desk = club.desks["hill"]

    with pytest.raises(StandclearError, match="no bonding network"):
        making.page_of_kept_bonding(desk.folder, club.sessions["climb"])

"""INVENTED.txt at the top of the club's folder: what it is, what is planted, and a first look."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import timedelta

from checklist.demo.cast import CAST, LAPTOPS, PASSPHRASE, ROUNDS
from checklist.demo.club import Club
from checklist.demo.copies import COPIES, FORKED, TAMPERED, TRUNCATED
from checklist.demo.planted import planted
from checklist.record.roll.keys import ROUNDS as REAL_ROUNDS

PAGE = "INVENTED.txt"
_WIDTH = 79

_FIRST_LOOK = (
    (
        "Look around",
        "standclear --logs hill/logs",
        "The line above says INVENTED CLUB. NOW lists a lock that hangs, a walk that was left, "
        "and what has no receipt yet.",
    ),
    (
        "Begin, or go on",
        "standclear --logs hill/logs",
        "Put the mark on the unfinished walk and press Enter; or on any line under BEGIN. y, n "
        "and ? answer. Escape goes back, and nothing is lost.",
    ),
    (
        "Review",
        "standclear --logs cellar/logs review window; standclear --logs hill/logs review amplifier",
        "Or key f on home. Look how a stop was answered, and how a correction keeps both answers.",
    ),
    (
        "Release a lock",
        "standclear --logs hill/logs",
        "Key t lists what hangs: lock 9 at the mast light supply. Enter takes it off: y, no other "
        "lock left, the name Tamsin Oakes, the passphrase above. Nobody else's signature is taken "
        "without the three facts of the rule for an absent person.",
    ),
    (
        "Audit",
        f"standclear --logs officer/logs audit */logs {COPIES}/*/logs",
        "The officer's own roster and receipts are what the others are held against. What it "
        "finds is what is planted below: no more, no less.",
    ),
    (
        "Check a copy",
        f"standclear verify {COPIES}/{TAMPERED}/logs",
        f"Then {COPIES}/{TRUNCATED}/logs, which holds by itself but for its receipts, and "
        f"{COPIES}/{FORKED}/logs, which only the receipts and field-1/logs give away.",
    ),
)


def page(club: Club, *, whole_year: bool) -> str:
    """Return the text of the page."""
    return "\n".join([*_head(club), *_people(), *_first_look(), *_planted(club, whole_year), ""])


def _head(club: Club) -> Iterator[str]:
    last = max(club.first_day + timedelta(days=364), club.calendar.at)
    yield "EVERYTHING IN THIS FOLDER IS INVENTED"
    yield ""
    yield from _wrapped(
        "No such club, station, place or person exists. Call signs that begin with Q cannot be "
        "allocated to anybody. Nothing here says anything about any real work, and none of it "
        "may be copied into a real log."
    )
    yield ""
    yield f"Made by: standclear demo, seed {club.seed}, the year up to {last:%Y-%m-%d}."
    yield from _wrapped(
        "The same seed, year and folder give the same bytes again, but for keys/*.key: their "
        "encryption takes fresh salt each time. Sessions name the station file by its whole "
        "path, so a club that is moved can no longer tell whether an evaluation is stale."
    )
    yield ""
    yield "THE LAPTOPS (the log folder of each is in logs)"
    for laptop in LAPTOPS:
        yield from _wrapped(f"{laptop.name}: {laptop.place}. Keys: {', '.join(laptop.people)}.")
    yield ""


def _people() -> Iterator[str]:
    yield "PEOPLE AND KEYS"
    yield f"  The passphrase of every key here:  {PASSPHRASE}"
    yield from _wrapped(
        f"These keys come from the seed, and their passphrase is stretched {ROUNDS} times where "
        f"a real one is stretched {REAL_ROUNDS} times: they protect nothing."
    )
    for player in CAST:
        yield f"  {player.name:15} {player.call_sign:9} {', '.join(player.roles)}"
    yield ""


def _first_look() -> Iterator[str]:
    yield "A FIRST LOOK (in a terminal, in this folder)"
    yield from _wrapped(
        "Where standclear is not found, type .venv/bin/standclear for it, with the whole path of "
        "its checkout before .venv; or first, in the checkout: . .venv/bin/activate"
    )
    for number, (title, command, says) in enumerate(_FIRST_LOOK, 1):
        yield f"  {number}. {title}"
        yield from (f"       {one.strip()}" for one in command.split(";"))
        yield from _wrapped(says, "     ")
    yield ""


def _planted(club: Club, whole_year: bool) -> Iterator[str]:
    yield "WHAT IS PLANTED, WHERE TO LOOK, AND WHAT THE AUDIT SAYS OF IT"
    for number, one in enumerate(planted(whole_year=whole_year), 1):
        yield from _wrapped(f"{number}. {one.what}")
        yield from _wrapped(f"Look: {one.look}", "     ")
        for laptop, nick in one.sessions:
            yield f"       standclear --logs {laptop}/logs show {club.sessions[nick][:8]}"
        said = dict.fromkeys(f"{found.outcome.value}: {found.check}" for found in one.found)
        yield from _wrapped(f"Audit: {'; '.join(said) or 'nothing'}", "     ")


def _wrapped(text: str, indent: str = "  ") -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip

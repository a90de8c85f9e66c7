"""Finds past sessions by date, rule file, person, verdict and text."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime

from checklist.errors import StandclearError
from checklist.record.journals.states import CORRECTED_NOW, State
from checklist.record.ledgers.entries import VERDICTS
from checklist.record.lookup.card import Card
from checklist.record.lookup.matching import has_all_words, search_key
from checklist.sessions.desk import Desk
from checklist.sessions.past.cataloguing import catch_up
from checklist.sessions.results import result_text

NOT_SEALED = "not sealed"
"""May be sought like a verdict: sessions that lack a signature."""

WORDS = ("from", "to", "person", "rule", "verdict")
"""What a filter line may name before a colon: `person:tamsin from:2026-11-01 thunder`."""

_WHOLE = {*map(search_key, VERDICTS), *(state.value for state in State)}
_CORRECTED = search_key(CORRECTED_NOW)
"""What stands before the verdict that a correction came to: it is sought like any verdict."""

_NAMED = re.compile(rf'(?P<word>{"|".join(WORDS)}):(?:"(?P<quoted>[^"]*)"?|(?P<plain>\S*))')


@dataclass(frozen=True, slots=True)
class Filter:
    """What is sought; everything that is given must fit."""

    text: str = ""
    """Words that must all occur somewhere: in title, people, result, answers or notes."""

    rule_file: str = ""
    person: str = ""
    verdict: str = ""
    """A verdict or a state as a whole, such as `stopped` or `abandoned`, or words of one."""

    since: date | None = None
    until: date | None = None
    """Days on which the session began, both included."""


@dataclass(slots=True)
class Index:
    """Cards made ready to be searched many times while somebody types."""

    cards: tuple[Card, ...]
    """The newest first."""

    now: datetime
    """Against which results expire."""

    _texts: tuple[str, ...] = field(default=(), init=False)

    def find(self, wanted: Filter) -> tuple[Card, ...]:
        """Return the cards that fit, the newest first."""
        if wanted.text and not self._texts:
            self._texts = tuple(self._text(card) for card in self.cards)
        text = search_key(wanted.text)
        texts = self._texts or ("",) * len(self.cards)
        return tuple(
            card
            for card, searched in zip(self.cards, texts, strict=True)
            if (not text or has_all_words(text, searched)) and _fits(card, wanted)
        )

    def result(self, card: Card) -> str:
        """Return what a session came to in words, an expired result as expired."""
        return result_text(card.state, card.verdict, card.valid_until, self.now)

    def _text(self, card: Card) -> str:
        parts = (
            card.begun.date().isoformat(),
            f"{card.begun:%d %b %Y}",
            card.title,
            self.result(card),
            *card.people,
            *card.stops,
            card.text,
            card.session_id,
        )
        return search_key(" ".join(parts))


def find(
    desk: Desk,
    text: str = "",
    rule_file: str = "",
    person: str = "",
    verdict: str = "",
    since: date | None = None,
    until: date | None = None,
) -> tuple[Card, ...]:
    """Return the sessions that meet every filter given, the newest first.

    Brings the catalogue in step first. Case and accents never matter. Raises FolderRefused
    where the log folder cannot be used at all.
    """
    wanted = Filter(text, rule_file, person, verdict, since, until)
    return Index(catch_up(desk.folder).cards, desk.clock.now()).find(wanted)


def read_filter(line: str) -> Filter:
    """Return the filter that a typed line means: words, and `word:value` for the rest.

    Raises StandclearError for a day that is none.
    """
    named: dict[str, str] = {}
    for found in _NAMED.finditer(line):
        named[found["word"]] = found["quoted"] or found["plain"] or ""
    return Filter(
        text=_NAMED.sub(" ", line).strip(),
        rule_file=named.get("rule", ""),
        person=named.get("person", ""),
        verdict=named.get("verdict", ""),
        since=read_day(named.get("from", ""), "from"),
        until=read_day(named.get("to", ""), "to"),
    )


def read_day(text: str, where: str) -> date | None:
    """Return the day that was typed, or None for an empty text; StandclearError for no day."""
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise StandclearError(
            f"“{text}” is not a day", where=where, right="Write it as 2026-11-25."
        ) from None


def _fits(card: Card, wanted: Filter) -> bool:
    return (
        (wanted.since is None or card.begun.date() >= wanted.since)
        and (wanted.until is None or card.begun.date() <= wanted.until)
        and _has(wanted.rule_file, f"{card.rule_file} {card.title}")
        and (not wanted.person or any(_has(wanted.person, name) for name in card.people))
        and _has_verdict(card, search_key(wanted.verdict))
    )


def _has(wanted: str, text: str) -> bool:
    return not wanted or has_all_words(search_key(wanted), search_key(text))


def _has_verdict(card: Card, wanted: str) -> bool:
    if wanted == NOT_SEALED:
        return card.state == State.SIGNATURE_MISSING.value
    if wanted in _WHOLE:
        now = search_key(card.verdict).removeprefix(_CORRECTED).strip()
        return wanted in {now, card.state}
    return not wanted or has_all_words(wanted, search_key(f"{card.verdict} {card.state}"))

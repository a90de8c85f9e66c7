"""What is planted in the invented club, and what the audit must find of each: no more, no less."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from checklist.demo.copies import FORKED, TAMPERED, TRUNCATED
from checklist.record.verifying.report import Outcome

FAILS, WARNING, CANNOT_TELL = Outcome.FAILS, Outcome.WARNING, Outcome.CANNOT_TELL


@dataclass(frozen=True, slots=True)
class Found:
    """One finding of the audit that does not hold."""

    check: str
    outcome: Outcome
    folder: str = ""
    """The laptop or the copy; empty where it is about all folders together."""

    session: str = ""
    """The nick of the session, if it is about one."""

    says: str = ""
    """What stands in its sentence."""

    since: timedelta | None = None
    """Counted from the last day: from when on the audit finds it; None: always."""


@dataclass(frozen=True, slots=True)
class Planted:
    """Something that went wrong in the invented year, or was done to its records."""

    what: str
    """In a sentence, for people."""

    look: str
    """Where to look for it in the program."""

    sessions: tuple[tuple[str, str], ...] = ()
    """Laptop and nick of each session that shows it."""

    found: tuple[Found, ...] = ()
    """Empty where only the screens show it."""


def planted(*, whole_year: bool) -> tuple[Planted, ...]:
    """Return everything that is planted; the whole year only has more of the same."""
    power = ["set moved", "rod not known", "revoked key", "low voltage"]
    if whole_year:
        power += [f"power, month {month}" for month in range(1, 13)]
    return (
        *_IN_THE_YEAR,
        Planted(
            "The cellar holds to a voltage of its own, laxer than the shipped one; its longer "
            "distance for the generator is stricter and is no finding.",
            "cellar: key n, numbers; every emergency-power set-up there",
            (("cellar", "low voltage"),),
            tuple(Found("values", WARNING, "cellar", nick, "club value 111 V") for nick in power),
        ),
        _overdue(),
        *_COPIES,
    )


_IN_THE_YEAR = (
    Planted(
        "A lock still hangs at the mast light supply, long after its time.",
        "hill: home under NOW; key t, tags",
        found=(
            Found(
                "tags", WARNING, "hill", says="Lock 9 of Tamsin Oakes hangs at mast light supply"
            ),
        ),
    ),
    Planted(
        "A lock of somebody who had gone home was taken off by two others, by the rule for that.",
        "standclear --logs hill/logs tags lists only what hangs; standclear verify hill/logs",
    ),
    Planted(
        "A walk was left in the middle after the last receipt.",
        "hill: home under NOW; Enter goes on with it",
        found=(
            Found("end", WARNING, "hill", "unfinished", "has not ended"),
            Found("tail", CANNOT_TELL, "hill", says="without a receipt"),
        ),
    ),
    Planted(
        "The wall clock was set back by 67 minutes in the middle of a walk.",
        "hill: key f, past sessions",
        (("hill", "clock set back"),),
        (
            Found("clock", WARNING, "hill", "clock set back", "67 min 0 s"),
            Found("order of time", WARNING, "hill", "clock set back", "a clock was set back"),
        ),
    ),
    Planted(
        "An answer was corrected afterwards, and the result became “stopped”.",
        "hill: key f, past sessions",
        (("hill", "amplifier"),),
        (Found("corrections", WARNING, "hill", "amplifier", "is now “stopped”"),),
    ),
    Planted(
        "Another answer was corrected, and the result stayed what it was.",
        "cellar: key f, past sessions",
        (("cellar", "set moved"),),
        (Found("corrections", WARNING, "cellar", "set moved", "119 V"),),
    ),
    Planted(
        "A signature was given a day late, which is an entry of its own.",
        "cellar: key f, past sessions",
        (("cellar", "rod not known"),),
    ),
    Planted(
        "A finding of the amplifier's check rests on a value from memory.",
        "hill: the same session",
        (("hill", "amplifier"),),
        (Found("values", WARNING, "hill", "amplifier", "unverified value"),),
    ),
    Planted(
        "A wrench fell: a near miss.",
        "hill: key f, past sessions",
        (("hill", "dropped wrench"),),
        (Found("near misses", WARNING, "hill", "dropped wrench", "A wrench fell"),),
    ),
    Planted(
        "The antenna came down to 9 m after its exposure was evaluated, so that is stale.",
        "hill: key f, past sessions; key e evaluates again",
        (("hill", "evaluation"),),
        (Found("evaluations", WARNING, "hill", "evaluation", "STALE"),),
    ),
    Planted(
        "Two walks ended as stopped: a line too near the tower, and thunder at the field event.",
        "hill and field-1: key f, past sessions",
        (("hill", "line too near"), ("field-1", "thunder")),
    ),
    Planted(
        "A stop was answered: the generator stood 12 ft from a window and was moved.",
        "cellar: key f, past sessions",
        (("cellar", "set moved"),),
    ),
    Planted(
        "Nobody knew whether a ground rod was called for.",
        "cellar: key f, past sessions",
        (("cellar", "rod not known"),),
        (Found("not known", WARNING, "cellar", "rod not known", "don't know"),),
    ),
    Planted(
        "One signature is missing.",
        "cellar: home under NOW; Enter signs late, with the passphrase",
        (("cellar", "one missing"),),
        (Found("end", WARNING, "cellar", "one missing", "NOT SEALED"),),
    ),
    Planted(
        "A walk was given up when it began to rain.",
        "cellar: key f, past sessions",
        (("cellar", "given up"),),
        (Found("end", WARNING, "cellar", "given up", "abandoned"),),
    ),
    Planted(
        "Bram Sorrel's key on the cellar's laptop was revoked, and signed once more after that.",
        "officer: key p, people; cellar: key f, past sessions",
        (("cellar", "revoked key"),),
        (Found("identity", FAILS, "cellar", "revoked key", "was revoked"),),
    ),
)

_COPIES = (
    Planted(
        "Copy “tampered” of field-2: in a sealed session 40 ft was made 48 ft.",
        "standclear verify copies/tampered/logs",
        found=(
            Found("line hashes", FAILS, TAMPERED, "field power", "was changed"),
            Found("session file", FAILS, TAMPERED, "field power", "its hash differs"),
            *(
                Found(check, CANNOT_TELL, TAMPERED, "field power", "cannot be relied on")
                for check in ("attachments", "clock", "rule files")
            ),
            Found("forks", WARNING, says="copies/tampered/logs and "),
        ),
    ),
    Planted(
        "Copy “truncated” of field-3: its last two entries were cut off; three receipts tell.",
        "standclear verify copies/truncated/logs",
        found=(
            *(Found("receipts", FAILS, TRUNCATED, says="were cut off") for _ in range(3)),
            Found("seen before", FAILS, TRUNCATED, says="was seen here before"),
            Found("end", CANNOT_TELL, TRUNCATED, "field masts back", "the ledger was cut"),
            Found("end", WARNING, TRUNCATED, "field masts back", "has not ended"),
            Found("tail", CANNOT_TELL, TRUNCATED, says="without a receipt"),
            Found("roster", WARNING, TRUNCATED, says="Roster 13"),
            Found("forks", WARNING, says="copies/truncated/logs and "),
        ),
    ),
    Planted(
        "Copy “forked” of field-1: an old copy was put back and another session walked in it.",
        "standclear verify copies/forked/logs; hold it against field-1/logs",
        found=(
            Found("forks", FAILS, says="two histories of one ledger"),
            Found("seen before", FAILS, FORKED, says="two histories"),
            Found("receipts", FAILS, FORKED, says="two histories"),
            *(Found("receipts", FAILS, FORKED, says="were cut off") for _ in range(2)),
            Found("tail", CANNOT_TELL, FORKED, says="without a receipt"),
            Found("roster", WARNING, FORKED, says="Roster 13"),
        ),
    ),
)


def _overdue() -> Planted:
    """Return what is overdue from which day on: each result's own life, counted in days."""
    newest = (
        ("emergency-power", "cellar", "low voltage", 345 - 364, timedelta(hours=12)),
        ("inside-equipment", "hill", "last box", 346 - 364, timedelta(hours=8)),
        ("tower-work", "hill", "last climb", 348 - 364, timedelta(hours=8)),
        ("release", "hill", "last climb back", 348 - 364, timedelta(hours=8)),
        ("field-event", FORKED, "instead of thunder", 0, timedelta(hours=12)),
        ("station-bonding", "cellar", "cellar bonding", 121 - 364, timedelta(days=365)),
        ("exposure-review", "cellar", "cellar evaluation", 151 - 364, timedelta(days=365)),
    )
    return Planted(
        "Checks are overdue, each by the life that its rule file gives a result.",
        "home under BEGIN",
        found=tuple(
            Found(
                "overdue", WARNING, folder, nick, f"“{rule}” is overdue",
                timedelta(days=day + 1) + life,
            )
            for rule, folder, nick, day, life in newest
        ),
    )  # fmt: skip

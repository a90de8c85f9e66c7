"""The people and the laptops of the invented club. Nobody of them exists.

No call sign that begins with Q can be allocated: the international table of call sign series
(ITU Radio Regulations, appendix 42) begins none with Q, since Q codes do;
from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

SEED = 7
"""What the club grows from where nobody names another number."""

PASSPHRASE = "invented words only"  # noqa: S105 - shown in INVENTED.txt; it opens invented keys
"""Opens every key of the club."""

ROUNDS = 4
"""Rounds of the keys' derivation, a twelfth of a real key's: these keys protect nothing."""

CLUB = "THE INVENTED CLUB"
NOWHERE = "Nowhere, which does not exist"

OFFICER = "Corin Ashby"


@dataclass(frozen=True, slots=True)
class Player:
    """Somebody invented."""

    name: str
    call_sign: str
    roles: tuple[str, ...]


CAST = (
    Player(OFFICER, "QQ0CORIN", ("safety officer", "in charge", "helper")),
    Player("Wren Holloway", "QQ0WRENX", ("in charge", "worker", "helper")),
    Player("Tamsin Oakes", "QQ0TAMSI", ("worker", "helper")),
    Player("Moss Tarrant", "QQ0MOSSX", ("in charge", "helper")),
    Player("Juniper Vale", "QQ0JUNIP", ("worker", "helper")),
    Player("Bram Sorrel", "QQ0BRAMX", ("in charge", "worker", "helper")),
)


@dataclass(frozen=True, slots=True)
class Laptop:
    """One laptop: whose keys are on it, and where it is used."""

    name: str
    """Its folder in the club's folder; the logs are in `logs` inside."""

    people: tuple[str, ...]
    place: str
    instead: Mapping[str, str]
    """Who stands here for the people in the rule files' own examples."""

    station: str = ""
    """The station file beside its logs, by its name in this package; empty where there is none."""

    has_club_values: bool = False
    """Whether it holds to values of the club's own."""

    @property
    def is_for_the_field(self) -> bool:
        """Whether it is used at the field event alone."""
        return self.name.startswith("field")


OFFICERS = "officer"

LAPTOPS = (
    Laptop(OFFICERS, (OFFICER,), "at the officer's kitchen table", {}),
    Laptop(
        "hill",
        ("Wren Holloway", "Tamsin Oakes", OFFICER),
        f"hill station, minus 3 Upside Lane, {NOWHERE}",
        {},
        "hill.yaml",
    ),
    Laptop(
        "cellar",
        ("Moss Tarrant", "Juniper Vale", "Bram Sorrel"),
        f"cellar station, 13th floor below, Back Mirror Street, {NOWHERE}",
        {"Wren Holloway": "Moss Tarrant", "Tamsin Oakes": "Juniper Vale", OFFICER: "Bram Sorrel"},
        "cellar.yaml",
        has_club_values=True,
    ),
    Laptop("field-1", ("Wren Holloway", OFFICER), f"the meadow on the dark side, {NOWHERE}", {}),
    Laptop(
        "field-2",
        ("Moss Tarrant", "Bram Sorrel"),
        f"the generator's corner of the meadow on the dark side, {NOWHERE}",
        {"Wren Holloway": "Moss Tarrant", "Tamsin Oakes": "Bram Sorrel"},
    ),
    Laptop(
        "field-3",
        ("Wren Holloway", "Juniper Vale"),
        f"the masts on the meadow on the dark side, {NOWHERE}",
        {"Tamsin Oakes": "Juniper Vale"},
    ),
)


def laptop(name: str) -> Laptop:
    """Return a laptop by its name."""
    return next(one for one in LAPTOPS if one.name == name)

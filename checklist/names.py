"""When two spellings are one person: two people must never become one, nor one become two."""

from __future__ import annotations

import unicodedata


def name_key(name: str) -> str:
    """Return what two spellings of one name have in common.

    Case, the width and number of spaces, composition, and characters that print nothing
    (Unicode category Cf) make no difference. A missing space does: "Ann Alee" and
    "Anna Lee" stay two people. Source: Unicode Standard, section 3.13, canonical
    caseless match (D145).
    """
    seen = "".join(c for c in name if unicodedata.category(c) != "Cf")
    folded = unicodedata.normalize("NFD", unicodedata.normalize("NFD", seen).casefold())
    return unicodedata.normalize("NFC", " ".join(folded.casefold().split()))


def lock_number(text: str) -> str:
    """Return what stands on a lock without the word itself: `lock 4` and `4` are one lock."""
    first, _, rest = text.strip().partition(" ")
    return rest.strip() if first.casefold() == "lock" and rest.strip() else text.strip()

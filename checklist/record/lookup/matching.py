"""How two names are held to be the same, and how search words meet a text.

Names are compared strictly, because two people must never become one; a search is
lenient, because nobody types accents in gloves.
"""

from __future__ import annotations

import re
import unicodedata

from checklist.names import name_key as name_key

_NOT_ASCII = re.compile(r"[^\x00-\x7f]+")

# Letters that Unicode does not take apart into a base letter and a mark.
_UNMARKED = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h"}
)


def search_key(text: str) -> str:
    """Return `text` as a search sees it: no case, no accents, single spaces between words."""
    bare = text if text.isascii() else _NOT_ASCII.sub(_bare, text)
    return " ".join(bare.casefold().split())


def has_all_words(wanted: str, searched: str) -> bool:
    """Say whether every word of `wanted` occurs in `searched`; both come from `search_key`."""
    return all(word in searched for word in wanted.split())


def _bare(found: re.Match[str]) -> str:
    # Marks go before and after folding: folding turns one mark, U+0345, into a letter.
    folded = _without_marks(_without_marks(found[0]).casefold())
    return folded.translate(_UNMARKED)


def _without_marks(text: str) -> str:
    apart = unicodedata.normalize("NFKD", text)
    return "".join(c for c in apart if unicodedata.category(c) not in {"Mn", "Cf"})

"""Citations as plain data for the signed record, and back, strictly."""

from __future__ import annotations

from typing import Any, TypeVar

from checklist.errors import StandclearError
from checklist.rulebook.values import Cited, Replaced, Standing, Strictness

_CITED = {"address", "value", "means", "citation", "standing"}
_REPLACED = {"value", "citation", "strictness", "decided-by", "decided"}
_Word = TypeVar("_Word", Standing, Strictness)


def cited_data(cited: Cited) -> dict[str, Any]:
    """Return a citation as texts; `instead-of` stands in it only for a club's own value."""
    data: dict[str, Any] = {
        "address": cited.address,
        "value": cited.value,
        "means": cited.means,
        "citation": cited.citation,
        "standing": cited.standing.value,
    }
    if cited.replaced is not None:
        old = cited.replaced
        data["instead-of"] = {
            "value": old.value,
            "citation": old.citation,
            "strictness": old.strictness.value,
            "decided-by": old.decided_by,
            "decided": old.decided,
        }
    return data


def cited_from(data: object) -> Cited:
    """Return the citation that `cited_data` wrote; raises StandclearError for anything else."""
    entry = data if isinstance(data, dict) else {}
    texts = _texts({k: v for k, v in entry.items() if k != "instead-of"}, _CITED)
    replaced = _replaced(entry["instead-of"]) if "instead-of" in entry else None
    return Cited(
        texts["address"], texts["value"], texts["means"], texts["citation"],
        _one_of(Standing, texts["standing"]), replaced,
    )  # fmt: skip


def _replaced(data: object) -> Replaced:
    old = _texts(data, _REPLACED)
    return Replaced(
        old["value"], old["citation"], _one_of(Strictness, old["strictness"]),
        old["decided-by"], old["decided"],
    )  # fmt: skip


def _texts(data: object, keys: set[str]) -> dict[str, str]:
    if not isinstance(data, dict) or set(data) != keys:
        raise StandclearError(
            "a value that was used does not have exactly the keys it should",
            right=f"They are {', '.join(sorted(keys))}.",
        )
    for key, value in data.items():
        if not isinstance(value, str):
            raise StandclearError(f"“{key}” of a value that was used is not a text")
    return data


def _one_of(kind: type[_Word], text: str) -> _Word:
    try:
        return kind(text)
    except ValueError:
        raise StandclearError(f"“{text}” is not one of {', '.join(kind)}") from None

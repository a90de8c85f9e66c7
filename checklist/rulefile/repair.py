"""Makes a rule file of wrong shape fit to be compiled, so that its other errors show as well.

What cannot be used is left out and replaced by a stand-in; nothing is said about stand-ins,
nor about what hangs on them. A repaired file is never walked: it has errors.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from checklist.rulefile.form import KINDS, RuleFileForm
from checklist.strictyaml import Path

_APART = frozenset({"sources", "when", "life"})
"""Keys of a step that mean the same whatever is wrong with the rest of it."""


@dataclass(frozen=True, slots=True)
class Blind:
    """What nothing can be said about."""

    unusable: tuple[Path, ...] = ()
    steps: frozenset[str] = frozenset()
    """Steps whose kind is not known; no comparison with their answers can be checked."""

    ids: bool = False
    """Whether some step's id is not known; a fact that no step provides may be that one."""

    def hides(self, path: Path) -> bool:
        """Return whether an error found at `path` may come from a stand-in alone."""
        return any(self._hides(path, wrong) for wrong in self.unusable)

    def _hides(self, path: Path, wrong: Path) -> bool:
        if path[: len(wrong)] == wrong:
            return True
        if path == ("parts",) and wrong[:1] == path and len(wrong) <= 3 and wrong[2:] == ("part",):
            return True
        unit = _unit(wrong)
        if not unit or path[: len(unit)] != unit:
            return False
        apart = _APART if unit[0] == "parts" else {"answers"}
        inside = path[len(unit) :]
        # Deeper down an error is of the key itself, which was there and was usable.
        return not inside or (len(inside) == 1 and inside[0] not in apart)


def repaired(
    data: Any, unusable: Collection[Path], source: str
) -> tuple[RuleFileForm | None, Blind]:
    """Return the form of `data` without what is `unusable`, or None where too little is left.

    `source` is the id of any source; it stands for sources that cannot be read.
    """
    whole = deepcopy(data)
    blind = Blind(
        tuple(unusable),
        frozenset(_blind_steps(data, unusable)),
        any(_unit(p)[:1] == ("parts",) and p[4:5] in ((), ("id",)) for p in unusable),
    )
    if not isinstance(whole, dict):
        return None, blind
    try:
        _repair(whole, unusable, source)
        return RuleFileForm.model_validate(whole), blind
    except (ValidationError, _TooLittle):
        return None, blind


def _unit(path: Path) -> Path:
    """Return the step or example in which `path` lies, or an empty path."""
    if path[:1] == ("parts",) and path[2:3] == ("steps",) and len(path) > 3:
        return path[:4]
    return path[:2] if path[:1] == ("examples",) and len(path) > 1 else ()


def _blind_steps(data: Any, unusable: Collection[Path]) -> set[str]:
    found = set()
    for path in unusable:
        if len(_unit(path)) == 4 and (len(path) == 4 or path[4] in KINDS):
            step: Any = data
            for part in path[:4]:
                step = step[part]
            if isinstance(step, dict):
                found.add(str(step.get("id", "")))
    return found


def _repair(whole: dict[str, Any], unusable: Collection[Path], source: str) -> None:
    _patch(whole, (), unusable, _WHOLE, into={"parts", "examples"})
    for i, part in enumerate(_listed(whole, "parts")):
        name = "beforehand" if i == 0 else "on the spot"
        _patch(part, ("parts", i), unusable, {**_PART, "part": name}, into={"steps"})
        for j, step in enumerate(_listed(part, "steps")):
            stand_ins = {**_STEP, "id": f"unreadable-{i}-{j}", "sources": [source]}
            path: Path = ("parts", i, "steps", j)
            part["steps"][j] = _patch(step, path, unusable, stand_ins)
            if not any(kind in part["steps"][j] for kind in KINDS):
                part["steps"][j]["text"] = {"example": "-"}
    for k, example in enumerate(_listed(whole, "examples")):
        stand_ins = {"name": f"unreadable-{k}", "verdict": "no stop found"}
        whole["examples"][k] = _patch(example, ("examples", k), unusable, stand_ins)


class _TooLittle(Exception):
    """Parts, steps or examples are no lists at all."""


def _listed(entry: Any, key: str) -> list[Any]:
    value = entry.get(key) if isinstance(entry, dict) else None
    if not isinstance(value, list):
        raise _TooLittle
    return value


def _patch(
    entry: Any,
    path: Path,
    unusable: Collection[Path],
    stand_ins: Mapping[str, Any],
    *,
    into: Collection[str] = (),
) -> dict[str, Any]:
    """Drop the keys of `entry` in which something is unusable, but for `into`; fill what lacks."""
    kept: dict[str, Any] = entry if isinstance(entry, dict) else {}
    for key in list(kept):
        here = (*path, key)
        if key not in into and any(wrong[: len(here)] == here for wrong in unusable):
            del kept[key]
    for key, value in stand_ins.items():
        kept.setdefault(key, value)
    return kept


_WHOLE = {
    "format": "1",
    "name": "unreadable",
    "title": "-",
    "edition": "-",
    "written-for": "-",
    "about": "-",
    "valid": "1 h",
    "signers": {"in charge": "1"},
}
_PART = {"title": "-", "valid": "1 h"}
_STEP = {"ask": "-", "why": "-"}

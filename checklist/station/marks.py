"""Where things stand in the text of a YAML file: by the marks that the parser gives for them."""

from __future__ import annotations

from typing import Any

import yaml

from checklist.errors import StandclearError
from checklist.strictyaml import Path

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class EditRefused(StandclearError):
    """A change cannot be made; the text is as it was."""


def node_at(text: str, path: Path) -> Any:
    """Return the node at a path of the text; raises EditRefused where nothing stands."""
    node: Any = yaml.compose(text, Loader=_Loader)
    for step in path:
        found = child_of(node, step)
        if found is None:
            raise EditRefused("there is no such place in the file", where=way(path))
        node = found
    return node


def child_of(node: Any, step: str | int) -> Any:
    """Return what stands below a node at one step; None where nothing does."""
    if isinstance(node, yaml.MappingNode):
        return next((one for key, one in node.value if key.value == step), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int):
        return node.value[step] if step < len(node.value) else None
    return None


def pair_of(node: Any, step: str | int) -> tuple[Any, Any]:
    """Return key and value of a mapping at one step."""
    return next((key, one) for key, one in node.value if key.value == step)


def plain(node: Any) -> Any:
    """Return a node as plain data, as the strict reader gives it."""
    if isinstance(node, yaml.MappingNode):
        return {key.value: plain(one) for key, one in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [plain(one) for one in node.value]
    return "" if node.value in ("~", "null") and node.style is None else node.value


def data_at(data: Any, path: Path) -> Any:
    """Return what stands at a path of plain data; raises EditRefused where nothing does."""
    for step in path:
        try:
            data = data[step]
        except (LookupError, TypeError):
            raise EditRefused("there is no such place in the file", where=way(path)) from None
    return data


def way(path: Path) -> str:
    """Return a path in words, for a message."""
    return ", ".join(str(step) for step in path)


def spans(text: str, above: Any) -> list[tuple[int, int]]:
    """Return where each key with its value, or each item with its dash, begins and ends."""
    if isinstance(above, yaml.MappingNode):
        return [
            (key.start_mark.index, max(key.end_mark.index, end_of(text, one)))
            for key, one in above.value
        ]
    if is_flow(text, above):
        return [(one.start_mark.index, end_of(text, one)) for one in above.value]
    spans = []
    for one in above.value:
        start = text.rindex("-", 0, one.start_mark.index + 1) if not one.value else -1
        start = _dash(text, one.start_mark.index, above.start_mark.column) if start < 0 else start
        spans.append((start, max(start + 1, end_of(text, one))))
    return spans


def _dash(text: str, index: int, column: int) -> int:
    """Return where the dash of an item stands: in the sequence's column, at or above `index`."""
    line = text.rfind("\n", 0, index) + 1
    while text[line + column : line + column + 1] != "-":
        line = text.rfind("\n", 0, line - 1) + 1
    return line + column


def end_of(text: str, node: Any) -> int:
    """Return where a value ends: after its last character, ahead of blank lines and comments."""
    if isinstance(node, yaml.ScalarNode):
        start, end = node.start_mark.index, node.end_mark.index
        return start + len(text[start:end].rstrip()) if node.style in ("|", ">") else end
    if is_flow(text, node):
        return int(node.end_mark.index)
    last = node.value[-1]
    if isinstance(node, yaml.MappingNode):
        key, one = last
        return max(end_of(text, one), text.index(":", key.end_mark.index) + 1)
    return max(end_of(text, last), int(last.start_mark.index))


def is_flow(text: str, node: Any) -> bool:
    """Whether a list or mapping stands in brackets; no key and no dash begins with one."""
    is_scalar = isinstance(node, yaml.ScalarNode)
    return not is_scalar and text[node.start_mark.index] in "{["


def line_end(text: str, index: int) -> int:
    """Return where the line ends on which `index` stands, its line break included."""
    found = text.find("\n", index)
    return len(text) if found < 0 else found + 1

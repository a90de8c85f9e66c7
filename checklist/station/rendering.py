"""Plain data as YAML text that stands inside a file somebody wrote: in one line, or in lines."""

from __future__ import annotations

from typing import Any

import yaml

_WIDTH = 96
_NULLS = {"", "~", "null", "Null", "NULL"}


def scalar(text: str, *, flow: bool) -> str:
    """Return one text as it can stand as a value, plain where that is read back the same."""
    inside = f"[{text}]" if flow else f"- {text}"
    if text not in _NULLS and "\n" not in text and _reads_as(inside, text):
        return text
    return quoted(text)


def quoted(text: str) -> str:
    """Return one text in double quotes, on one line."""
    dumped = yaml.dump(text, default_style='"', allow_unicode=True, width=1 << 30)
    return str(dumped).rstrip("\n")


def one_line(data: Any) -> str:
    """Return texts, lists and mappings in flow style on one line."""
    if isinstance(data, dict):
        pairs = (f"{scalar(key, flow=True)}: {one_line(value)}" for key, value in data.items())
        return f"{{{', '.join(pairs)}}}"
    if isinstance(data, list):
        return f"[{', '.join(map(one_line, data))}]"
    return scalar(data, flow=True)


def entry(key: str, data: Any, indent: int) -> str:
    """Return `key: value` for a block mapping whose keys stand at `indent`.

    The first line is not indented, and the last has no line break. What fits into one line
    stands there in flow style.
    """
    name = scalar(key, flow=False)
    return f"{name}: {value(data, indent, len(name) + 2)}".replace(": \n", ":\n")


def value(data: Any, indent: int, used: int = 0) -> str:
    """Return the value of a block mapping's key; `used` columns of its line stand before it.

    Where it needs lines of its own it begins with a line break.
    """
    if isinstance(data, str):
        return _lines(data, indent + 2) if "\n" in data.strip() else scalar(data, flow=False)
    line = one_line(data)
    if not data or (_is_flat(data) and indent + used + len(line) <= _WIDTH):
        return line
    space = " " * (indent + 2)
    if isinstance(data, dict):
        rows = (entry(key, one, indent + 2) for key, one in data.items())
        return "".join(f"\n{space}{row}" for row in rows)
    return "".join(f"\n{space}- {one_line(one)}" for one in data)


def _is_flat(data: Any) -> bool:
    """Whether data reads well in one line: texts, and lists of texts, and no line breaks."""
    held = data.values() if isinstance(data, dict) else data
    texts = [x for one in held for x in (one if isinstance(one, list) else [one])]
    return all(isinstance(one, str) and "\n" not in one for one in texts)


def _lines(text: str, indent: int) -> str:
    """Return a text of several lines as a literal block, where it is read back the same."""
    body = "\n".join(f"{' ' * indent}{line}" if line else "" for line in text.split("\n"))
    block = f"|-\n{body}"
    return block if _reads_as(f"- {block}", text) else quoted(text)


def _reads_as(source: str, text: str) -> bool:
    try:
        node = yaml.compose(source, Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        return False
    if not isinstance(node, yaml.SequenceNode) or len(node.value) != 1:
        return False
    (held,) = node.value
    return isinstance(held, yaml.ScalarNode) and held.value == text

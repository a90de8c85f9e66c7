"""The network as a drawing: one description, from which the text tree and the picture are made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from xml.sax.saxutils import escape

from checklist.calculations.bonding.gauge import gauge_text
from checklist.calculations.bonding.network import Bond, Kind, Network, Node, Role, names
from checklist.calculations.bonding.network_connection import root_of
from checklist.calculations.bonding.network_graph import Tree, tree_from
from checklist.plaintext import shown


@dataclass(frozen=True, slots=True)
class Row:
    """One node of the drawing, below the node it hangs on."""

    node: str
    label: str
    by: str
    """The conductor by which it hangs, in words; empty for a root."""

    depth: int
    is_last: bool
    parent: int
    """The row on which it hangs; -1 for a root."""


@dataclass(frozen=True, slots=True)
class Extra:
    """A conductor that closes a loop, drawn beside the tree."""

    from_: int
    to: int
    label: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A tree for each part that hangs together, the bus's first, and what closes loops."""

    rows: tuple[Row, ...]
    extras: tuple[Extra, ...]


def drawing_of(network: Network) -> Drawing:
    """Return the drawing; lines hang where their protector is bonded."""
    rank = {role: place for place, role in enumerate(Role)}
    bonds = tuple(sorted(network.bonds, key=lambda bond: rank[bond.role]))
    lines = _lines(network)
    rows: list[Row] = []
    extras: list[tuple[Bond, int, int]] = []
    for start in (root_of(network), *names(network.nodes)):
        if not start or any(row.node == start for row in rows):
            continue
        if network.node(start).kind is Kind.LINE and network.node(start).protected_at:
            continue
        tree = tree_from(start, bonds)
        _hang(network, tree, lines, start, rows, depth=0, parent=-1, is_last=True)
        place = {row.node: i for i, row in enumerate(rows)}
        extras += [(b, place[b.from_], place[b.to]) for b in tree.closing]
    return Drawing(tuple(rows), tuple(Extra(here, there, words_of(b)) for b, here, there in extras))


def words_of(bond: Bond) -> str:
    """Return a conductor in words: name, size, material, length; what is unknown says so."""
    if bond.role in (Role.SHIELD, Role.STRUCTURE, Role.EQUIPMENT_GROUND):
        return f"{bond.name}: {bond.role}"
    if bond.gauge is not None:
        size = gauge_text(int(bond.gauge.value))
    elif bond.is_strap:
        size = f"strap {bond.width or '?'} x {bond.thickness or '?'}"
    else:
        size = "size unknown"
    length = str(bond.length) if bond.length is not None else "length unknown"
    return f"{bond.name}: {size} {bond.material or 'material unknown'}, {length}"


def as_text(drawing: Drawing) -> tuple[str, ...]:
    """Return the drawing as lines of plain characters, readable without colour."""
    lines: list[str] = []
    trunk: dict[int, bool] = {}
    for row in drawing.rows:
        if row.depth == 0:
            lines += ([""] if lines else []) + [row.label]
            continue
        trunk[row.depth] = not row.is_last
        lead = "".join("|   " if trunk.get(level) else "    " for level in range(1, row.depth))
        lines.append(f"{lead}+-- {row.label}" + (f"   ({row.by})" if row.by else ""))
    if drawing.extras:
        lines += ["", "Also joined, which closes a loop"]
        lines += [
            f"  {drawing.rows[e.from_].node} to {drawing.rows[e.to].node}   ({e.label})"
            for e in drawing.extras
        ]
    return tuple(lines)


_STEP, _INDENT, _LEFT, _TOP = 34, 28, 20, 28
_CHARACTER = 7.3


def as_svg(drawing: Drawing, title: str) -> str:
    """Return the drawing as an SVG picture (SVG 1.1), with the same words as the text."""
    above = {i: _LEFT + row.depth * _INDENT for i, row in enumerate(drawing.rows)}
    level = {i: _TOP * 2 + i * _STEP for i in range(len(drawing.rows))}
    ends = {
        i: int(above[i] + 26 + _CHARACTER * (len(row.label) + len(row.by) + 3 * bool(row.by)))
        for i, row in enumerate(drawing.rows)
    }
    widest = max(ends.values(), default=200)
    width = int(max(widest, _CHARACTER * len(title) + 60) + 60 + 18 * len(drawing.extras))
    height = _TOP * 3 + _STEP * (len(drawing.rows) + len(drawing.extras))
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}"'
        f' viewBox="0 0 {width} {height}" font-family="sans-serif" font-size="13">',
        f"<title>{_safe(title)}</title>",
        f'<rect width="{width}" height="{height}" fill="white"/>',
        f'<text x="{_LEFT}" y="{_TOP}" font-weight="bold">{_safe(title)}</text>',
    ]
    for i, row in enumerate(drawing.rows):
        parts += _drawn_row(row, above, level[i], level.get(row.parent), above[i])
    for number, extra in enumerate(drawing.extras):
        out = widest + 20 + 18 * number
        below = _TOP * 2 + _STEP * (len(drawing.rows) + number)
        parts += [
            f'<path d="M {ends[extra.from_]} {level[extra.from_]} H {out} V {level[extra.to]}'
            f' H {ends[extra.to]}" fill="none" stroke="black" stroke-dasharray="5 4"/>',
            f'<text x="{_LEFT}" y="{below}">'
            f"Dashed, closes a loop: {_safe(drawing.rows[extra.from_].node)} to"
            f" {_safe(drawing.rows[extra.to].node)} ({_safe(extra.label)})</text>",
        ]
    return "\n".join([*parts, "</svg>", ""])


def _drawn_row(
    row: Row, above: Mapping[int, int], y: int, parent_y: int | None, x: int
) -> list[str]:
    parts = []
    if parent_y is not None:
        stem = above[row.parent] + 8
        parts.append(f'<path d="M {stem} {parent_y + 8} V {y} H {x}" fill="none" stroke="black"/>')
    parts.append(f'<circle cx="{x + 6}" cy="{y}" r="5" fill="white" stroke="black"/>')
    by = f' <tspan fill="#444">({_safe(row.by)})</tspan>' if row.by else ""
    parts.append(f'<text x="{x + 18}" y="{y + 4}">{_safe(row.label)}{by}</text>')
    return parts


def _safe(text: str) -> str:
    return escape(shown(text), {'"': "&quot;"})


def _lines(network: Network) -> dict[str, list[Node]]:
    """Return the lines by the node at which they are protected."""
    there: dict[str, list[Node]] = {}
    for line in network.of(Kind.LINE):
        if line.protected_at and not any(line.name in (b.from_, b.to) for b in network.bonds):
            there.setdefault(line.protected_at, []).append(line)
    return there


def _hang(
    network: Network,
    tree: Tree,
    lines: Mapping[str, list[Node]],
    name: str,
    rows: list[Row],
    *,
    depth: int,
    parent: int,
    is_last: bool,
) -> None:
    """Add a node and all that hangs on it, in the order in which it was reached."""
    bond = tree.by.get(name)
    by = words_of(bond) if bond else ""
    rows.append(Row(name, _label(network.node(name)), by, depth, is_last, parent))
    here = len(rows) - 1
    children = [n for n in tree.order if tree.parent(n) == name]
    hung = lines.get(name, [])
    for i, child in enumerate(children):
        last = i == len(children) - 1 and not hung
        _hang(network, tree, lines, child, rows, depth=depth + 1, parent=here, is_last=last)
    for i, line in enumerate(hung):
        label = f"{_label(line)}, by {line.protected_by or 'unknown protector'}"
        rows.append(Row(line.name, label, "", depth + 1, i == len(hung) - 1, here))


def _label(node: Node) -> str:
    return f"{node.name} [{node.electrode or node.enters_as or node.kind}]"

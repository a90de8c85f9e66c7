"""What must be true of every screen, whatever stands on it: read from what is really drawn."""

from __future__ import annotations

from collections.abc import Iterator

from rich.color import Color, ColorSystem
from rich.style import Style
from rich.terminal_theme import DEFAULT_TERMINAL_THEME
from textual import actions
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Footer, OptionList, Static

from checklist.screens.app import StandclearApp
from checklist.screens.frame import BANNER, TitleLine
from checklist.screens.hurt import HurtScreen
from tests.screens.driving import text_of

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3, contrast of text against its background, level AA."""

LEAST_MARK = 3
"""WCAG 2.2, success criterion 1.4.11, contrast of what shows where one is, level AA."""

HURT = "^Y SOMEONE IS HURT"


def faults(app: StandclearApp) -> list[str]:
    """Return a sentence for everything that is wrong with the screen as it is drawn now."""
    return [*_frame(app), *_focus(app), *_keys(app), *_room(app)]


def _frame(app: StandclearApp) -> Iterator[str]:
    seen = text_of(app)
    if " ".join(BANNER.split()) not in " ".join(seen.split()):
        yield "the banner is not whole"
    if HURT not in seen and not isinstance(app.screen, HurtScreen):
        yield "the key for help is not in sight"
    if len(seen.splitlines()) > app.size.height:
        yield "it is higher than the terminal"
    for title in app.screen.query(TitleLine):
        if "…" in str(title.render()):
            yield f"the title is cut: {title.render()}"


def _focus(app: StandclearApp) -> Iterator[str]:
    focused = app.focused
    if focused is None:
        yield "nothing has the focus"
    elif not _visible(focused, app):
        yield f"the focus is out of sight: {focused}"
    if isinstance(focused, OptionList) and focused.highlighted is not None:
        mark = focused.get_component_styles("option-list--option-highlighted").background
        around = focused.background_colors[1]
        pair = Style(color=mark.rich_color, bgcolor=around.rich_color)
        if contrast(pair) < LEAST_MARK:
            yield f"the mark is hardly seen: {mark} on {around}"


def _visible(widget: Widget, app: StandclearApp) -> bool:
    return widget.region.height == 0 or bool(widget.region.intersection(app.screen.region).area)


def _keys(app: StandclearApp) -> Iterator[str]:
    """Every key that the key line shows is whole there, and is bound to something that exists."""
    for node, binding, is_enabled, _ in app.screen.active_bindings.values():
        if not binding.show or not is_enabled:
            continue
        space, name, _ = actions.parse(binding.action)
        owner = {"app": app, "screen": app.screen}.get(space, node)
        if not any(hasattr(owner, f"{pre}action_{name}") for pre in ("", "_")):
            yield f"the key {binding.key} does nothing: {binding.action}"
    for footer in app.screen.query(Footer):
        for key in footer.query("FooterKey"):
            if key.region.area and not footer.region.contains_region(key.region):
                yield f"a key does not fit its line: {key.render()}"


def _room(app: StandclearApp) -> Iterator[str]:
    """Nothing is outside the terminal or cut off where nobody can scroll to it."""
    for widget in app.screen.walk_children(Widget):
        if not widget.display or widget.region.area == 0:
            continue
        if widget.show_horizontal_scrollbar:
            yield f"a scrollbar along the bottom: {widget}"
        scrolls = any(a.allow_vertical_scroll for a in widget.ancestors if isinstance(a, Widget))
        if not scrolls and not app.screen.region.contains_region(widget.region):
            yield f"outside the terminal: {widget}"
        if isinstance(widget, Static) and type(widget) is Static and not scrolls:
            height = widget.visual.get_height({}, widget.content_size.width)
            if height > widget.content_size.height:
                yield f"{height} lines in the room of {widget.content_size.height}: {widget}"


def low_contrast(app: StandclearApp, system: ColorSystem = ColorSystem.TRUECOLOR) -> list[str]:
    """Return every text on the screen that stands out too little from what is behind it."""
    found = {}
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            text = segment.text.strip()
            if not any(character.isalnum() for character in text) or segment.style is None:
                continue
            ratio = contrast(segment.style, system)
            if ratio < LEAST_CONTRAST:
                found[text] = f"contrast {ratio:.2f} of “{text}” ({segment.style})"
    return list(found.values())


def contrast(style: Style, system: ColorSystem = ColorSystem.TRUECOLOR) -> float:
    """Return the contrast ratio of WCAG 2.2: (L1 + 0.05) / (L2 + 0.05), the lighter first."""
    front = _luminance(style.color, system, is_front=True)
    back = _luminance(style.bgcolor, system, is_front=False)
    if style.dim:
        front = (front + back) / 2
    return (max(front, back) + 0.05) / (min(front, back) + 0.05)


def _luminance(color: Color | None, system: ColorSystem, *, is_front: bool) -> float:
    """Return the relative luminance of WCAG 2.2, from sRGB."""
    meant = color or Color.default()
    triplet = meant.downgrade(system).get_truecolor(DEFAULT_TERMINAL_THEME, foreground=is_front)
    red, green, blue = (_linear(part / 255) for part in triplet)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def is_modal(app: StandclearApp) -> bool:
    """Say whether the screen lies over another."""
    return isinstance(app.screen, ModalScreen)

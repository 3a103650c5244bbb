"""What differs on a circuit page from the version before: clouds round what is printed otherwise or new, and beside the title block in words what it was.

Takes a Context that knows the version before, the pages' graphs as placed, and the wires that were on the sheet then. A wire has its cloud
round its label, a thing round the whole of it. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ..circuits.figure import PITCH, TEXT
from ..diagram.placed import PlacedNode
from ..drawing.lettering import cut, wrap
from ..drawing.page import BLOCK_HEIGHT, BLOCK_WIDTH, CLEAR
from ..drawing.pen import Pen
from ..drawing.record import Area
from ..drawing.revision_marks import HIGH, SIDE, draw_cloud, draw_triangle
from ..revision.changes import Change, ChangeKind, Thing
from .circuit_pages import CircuitPage
from .circuit_words import is_full_width
from .context import Context, SheetRef, Since
from .marking import is_new

PRINTED = {
    Thing.WIRE: ("end", "size", "colour"), Thing.PART: ("title", "kind", "box", "place", "rating", "size", "value", "contacts", "feeds"), Thing.DEVICE: ("title",),
    Thing.CONNECTOR: ("title", "half"), Thing.GROUND: ("title", "place", "stud", "metal"),
}
"""Keys whose values a page prints."""
PLAIN = ("title", "size", "colour", "rating", "place", "stud", "metal", "value")
"""Keys whose values say what they are."""
AROUND = 0.9
"""From what is marked to the edge of its cloud."""
BESIDE = 1.5
"""From the triangle to the words."""
LEAST_ROOM = 40.0
"""Where less width is free beside the title block, the triangle stands there alone."""
ABOVE_BLOCK = 3.0
"""The triangle begins so far above the lower edge of the free area where the title block takes the whole width."""
UNDER = 2.0
"""Between the words and the frame below them."""


def draw_change_marks(pen: Pen, context: Context, ref: SheetRef, pages: Sequence[CircuitPage], free: Area, wires_before: Iterable[str]) -> None:
    """Marks the things on one page; ``pages`` are what is placed on it, ``wires_before`` the wires of the whole sheet in the version before. Nothing where no version is before."""
    since = context.since
    if since is None:
        return
    if is_new(context, ref):
        draw_words(pen, free, ["New sheet"], since.letter)
        return
    words = [*_was(since, draw_clouds(pen, since, pages)), *_gone(context, since, wires_before)]
    if words:
        draw_words(pen, free, words, since.letter)


def draw_clouds(pen: Pen, since: Since, pages: Iterable[CircuitPage]) -> set[tuple[Thing, str]]:
    """The clouds alone; gives everything that is shown there, changed or not."""
    changed = {(change.thing, change.new_id) for change in since.comparison.changes if change.new_id is not None and _is_printed(change)}
    shown: set[tuple[Thing, str]] = set()
    for page in pages:
        for label in page.placed.labels:
            wire = label.wire.partition(" below ")[0]
            shown.add((Thing.WIRE, wire))
            if (Thing.WIRE, wire) in changed:
                _cloud(pen, page, label.x, label.y, label.w, label.h)
        for name, figure in page.graph.figures.items():
            at = page.placed.nodes[name]
            about = {(thing, figure.owner) for thing in PRINTED}
            shown |= about
            if about & changed and at.h > 0 and page.placed.merged.get(name, name) == name:
                _cloud(pen, page, *_box(at))
    return shown


def _is_printed(change: Change) -> bool:
    return change.thing in PRINTED and (change.key in PRINTED[change.thing] or change.kind in (ChangeKind.ADDED, ChangeKind.RENAMED))


def _box(at: PlacedNode) -> tuple[float, float, float, float]:
    return at.x, at.y, at.w, at.h


def _cloud(pen: Pen, page: CircuitPage, x: float, y: float, w: float, h: float) -> None:
    draw_cloud(pen, page.area.x + x - AROUND, page.area.y + y - AROUND, w + 2 * AROUND, h + 2 * AROUND)


def _was(since: Since, shown: set[tuple[Thing, str]]) -> Iterator[str]:
    for change in since.comparison.changes:
        if change.new_id is None or (change.thing, change.new_id) not in shown or not _is_printed(change):
            continue
        if change.kind is ChangeKind.ADDED:
            yield f"{change.new_id} new"
        elif change.kind is ChangeKind.RENAMED:
            yield f"{change.new_id} was {change.old_id}"
        else:
            yield f"{change.new_id}{'' if change.key in PLAIN else f' {change.key}'} was {change.was or 'not stated'}"


def _gone(context: Context, since: Since, wires_before: Iterable[str]) -> Iterator[str]:
    """Wires that were on the sheet and are no more, or are on other sheets now."""
    wires = since.before.harness.wires
    for id in wires_before:
        if id in wires and since.comparison.pairing.now(Thing.WIRE, id) is None:
            yield f"{id} gone, {wires[id].from_} to {wires[id].to}"


def draw_words(pen: Pen, free: Area, words: Sequence[str], letter: str) -> None:
    """Left of the title block, as many lines as there is height for; where the block takes the whole width, one line above it, for which `circuit_words.change_row` keeps the room."""
    width = free.right + CLEAR - BLOCK_WIDTH - (free.x + SIDE + BESIDE) - CLEAR
    is_above = is_full_width(free.w)
    top = free.bottom - ABOVE_BLOCK if is_above else free.bottom + CLEAR
    draw_triangle(pen, free.x, top, letter)
    if is_above:
        pen.text(free.x + SIDE + BESIDE, top + HIGH, cut("; ".join(words), free.w - SIDE - BESIDE, TEXT), TEXT, tag="changes")
        return
    if width < LEAST_ROOM:
        return
    most = int((BLOCK_HEIGHT - UNDER - HIGH) // PITCH) + 1
    lines = wrap("; ".join(words), width, TEXT)
    if len(lines) > most:
        lines = [*lines[: most - 1], cut(" ".join(lines[most - 1 :]), width, TEXT)]
    for row, line in enumerate(lines):
        pen.text(free.x + SIDE + BESIDE, top + HIGH + row * PITCH, line, TEXT, tag="changes")

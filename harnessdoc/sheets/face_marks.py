"""What differs at a connector face from the version before: which cavities, and what was drawn otherwise.

Takes a Context whose sheets show what changed and a connector; gives the cavities that
get a mark and the words below the face, with their height, and draws those. A cavity
differs where its wires, their size or colour, its function, signal, terminal, seal or
plug do; where its wires lead to is told by the table below.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from ..drawing.lettering import text_width
from ..drawing.pen import Pen
from ..drawing.revision_marks import HIGH, SIDE, draw_struck, draw_triangle
from ..model.faces import mirrored
from ..model.harness import Connector, Face, Harness
from ..network.cavity_order import counted
from ..revision.changes import Thing
from .change_marks import DATA, LINE, struck_lines
from .context import Context

ABOVE = 2.5
BESIDE = 2.0
"""Between the triangle and the words."""
MOST_LINES = 3


@dataclass(frozen=True, slots=True)
class FaceChanges:
    """Cavities by what happened to them, in counting order; ``was``: what no longer holds of the face as a whole."""

    changed: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    was: tuple[str, ...] = ()
    marked: frozenset[str] = field(default_factory=frozenset)

    def __bool__(self) -> bool:
        return bool(self.marked or self.gone or self.was)


def face_changes(context: Context, connector: Connector) -> FaceChanges:
    """What differs at a connector that has a face in both versions; nothing where only one has."""
    since = context.since
    old_id = since.comparison.pairing.before(Thing.CONNECTOR, connector.id) if since else None
    if since is None or old_id is None or connector.face is None:
        return FaceChanges()
    before = since.before.harness
    old = before.connectors[old_id]
    if old.face is None:
        return FaceChanges(was=("no face described",))
    here, there = ([spot.cavity for spot in face.spots] for face in (connector.face, old.face))
    changed = _counted(name for name in here if name in there and _at(context.harness, f"{connector.id}.{name}") != _at(before, f"{old_id}.{name}"))
    new, gone = _counted(name for name in here if name not in there), _counted(name for name in there if name not in here)
    return FaceChanges(changed, new, gone, tuple(_was(connector.face, old.face)), frozenset((*changed, *new)))


def _counted(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(names, key=counted))


def _at(harness: Harness, address: str) -> tuple[object, ...]:
    """What is compared of a cavity."""
    wires = tuple((wire.id, str(wire.size or ""), wire.colour) for wire in (harness.wires[name] for name in harness.wires_at.get(address, ())))
    contact = harness.contacts.get(address)
    return (wires, *((contact.function, contact.signal, contact.terminal, contact.seal, contact.plug) if contact else ("",) * 5))


def _was(now: Face, before: Face) -> Iterator[str]:
    """What the version before says otherwise of the face as a whole."""
    old = before if before.view is now.view else mirrored(before)
    if now.lock != old.lock:
        yield f"lock at the {old.lock}, seen from the {now.view.value}" if old.lock else "lock not stated"
    if now.entry != old.entry:
        yield f"wires from the {old.entry}, seen from the {now.view.value}" if old.entry else "wires straight from behind"
    if now.shape != old.shape:
        yield f"cavities in a {old.shape}" if old.shape == "ring" else "cavities in rows" if old.shape == "rows" else "cavities by their places"
    elif _order(now, old) != _order(old, now):
        yield "cavities in another order"


def _order(face: Face, other: Face) -> list[str]:
    """The cavities that both have, from the top left on: one that is added or dropped changes nothing for the others."""
    both = {spot.cavity for spot in other.spots}
    return [spot.cavity for spot in sorted(face.spots, key=lambda spot: (-spot.y, spot.x)) if spot.cavity in both]


def changes_height(changes: FaceChanges, width: float) -> float:
    """Height of the words below a face, the free space above them included; 0 where nothing differs."""
    return ABOVE + max(HIGH, LINE * len(_lines(changes, width))) + 1.0 if changes else 0.0


def changes_width(changes: FaceChanges, room: float) -> float:
    """Width of the words with the triangle, no more than ``room``."""
    return SIDE + BESIDE + max((text_width(words, DATA) + (BESIDE if words else 0.0) + text_width(old, DATA) for words, old in _lines(changes, room)), default=0.0)


def draw_changes(pen: Pen, context: Context, changes: FaceChanges, x: float, y: float, width: float) -> None:
    """The triangle and, right of it, which cavities differ and what no longer holds."""
    if not changes:
        return
    y += ABOVE
    draw_triangle(pen, x, y, context.since.letter if context.since else "")
    base = y + (HIGH + DATA) / 2
    for words, old in _lines(changes, width):
        at = x + SIDE + BESIDE
        at += pen.text(at, base, words, DATA, tag="changed") + (BESIDE if words else 0.0)
        draw_struck(pen, at, base, old, DATA)
        base += LINE


def _lines(changes: FaceChanges, width: float) -> list[tuple[str, str]]:
    """Words and, behind them, what is struck through; a long list goes on in a line of its own."""
    room = width - SIDE - BESIDE
    lines: list[tuple[str, str]] = []
    for words, names in (("changed", changes.changed), ("new", changes.new)):
        lines += [(line, "") for line in struck_lines(f"{words}: {', '.join(names)}", room, MOST_LINES) if names]
    for words, olds in (("gone:", ", ".join(changes.gone)), *(("was:", text) for text in changes.was)):
        struck = struck_lines(olds, room - text_width(words, DATA) - BESIDE, MOST_LINES)
        lines += [(words if place == 0 else "", line) for place, line in enumerate(struck)]
    return lines

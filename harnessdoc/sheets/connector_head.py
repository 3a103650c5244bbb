"""What stands above a pinout table: which connector it is, and its face in both views.

Takes a Context, a connector and the room; gives a piece of known height that draws
itself. The words stand left and the faces right of them where both find room, else
the faces below. Both views stand side by side where their numbers stay legible, else
one above the other; where even that does not fit, the view in which the face was
written down stands alone. The lock is drawn only where the description states its side.
Two mated halves on one sheet that differ from the version before have their faces alike,
as if what differs at one did so at both. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass

from ..drawing.lettering import cut
from ..drawing.pen import Pen
from ..drawing.record import Area
from ..drawing.table import EmptyBox
from ..model.harness import Connector, Face
from ..network.cavity_order import counted
from ..network.neighbours import cavities_of
from ..revision.changes import Thing
from .context import Context
from .face import LEGEND, SMALL, draw_face, face_in_view, face_size, fitting_pitch, least_pitch
from .face_marks import FaceChanges, changes_height, changes_width, draw_changes, face_changes
from .flags import flags_field
from .flow import Drawn
from .head_marks import letter_of, renamed, with_changes
from .list_cells import known, place_named, sheet_link
from .pinout_remarks import fitting_fields
from .stacks import Item
from .subject_head import Field, Renamed, draw_fields, draw_title, fields_height, title_height

WORDS_MOST, WORDS_SHARE = 84.0, 0.42
"""Room for the words where the faces stand beside them: so many mm, so much of the width at most."""
GAP = 5.0
"""Between words and faces, and between two views."""
LEGEND_ROOM = SMALL + 2.0
FACES_ABOVE = 3.0
PITCH_LEAST = 0.3
"""Pitch of a face for which there is no room at all."""


@dataclass(frozen=True, slots=True)
class _Placed:
    """A face and its room, from the top left of all faces on."""

    face: Face
    area: Area


@dataclass(frozen=True, slots=True)
class _Faces:
    """Faces placed: their pitch and the room they take."""

    pitch: float
    placed: tuple[_Placed, ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class _Said:
    """What stands in words at a connector, and what differs at its face; ``is_marked``: anything of it differs from the version before."""

    connector: Connector
    fields: list[Field]
    named: Renamed | None
    changes: FaceChanges
    is_marked: bool

    def height(self, room: float) -> float:
        """Of title and fields."""
        return title_height(self.connector.id, self.connector.title, room, self.named) + fields_height(self.fields, room)


def has_empty(connector: Connector, wired: Container[str]) -> bool:
    """True where the face shows a cavity without a wire."""
    return connector.face is not None and any(spot.cavity not in wired for spot in connector.face.spots)


def connector_head(context: Context, connector: Connector, wired: Container[str], width: float, height: float, *,
                   with_legend: bool = False, more: Sequence[Field] = ()) -> Drawn:
    """The head of a connector in ``width`` mm, not higher than ``height``.

    ``wired`` are its cavities with a wire; ``with_legend`` says what the frames of the face mean; ``more`` are fields below its own.
    """
    words_width = min(WORDS_MOST, WORDS_SHARE * width)
    said = _said(context, connector, more)
    alike = [said, *_mate_to_match(context, said, more)]
    marked = frozenset(name for one in alike for name in one.changes.marked)
    legend = LEGEND_ROOM if with_legend else 0.0
    tag = f"connector:{connector.id}"

    def kept_below(room: float) -> float:
        """Kept free below the faces in ``room``."""
        return max(legend, LEGEND_ROOM if len(alike) > 1 else 0.0) + max(changes_height(one.changes, room) for one in alike)

    faces, at_side = None, False
    beside = width - words_width - GAP
    if connector.face is not None:
        face, match = connector.face, [view for one in alike[1:] if one.connector.face for view in _both(one.connector.face)]
        faces = _side_by_side(face, match, beside, height - kept_below(beside), marked)
        at_side = faces is not None
        faces = faces or _below(face, match, width, height - max(one.height(width) for one in alike) - FACES_ABOVE - kept_below(width), marked)
    left, room = (words_width + GAP, beside) if at_side else (0.0, width)
    words_width = words_width if at_side else width
    words = said.height(words_width)
    tall = (faces.height + legend + changes_height(said.changes, room)) if faces else 0.0
    total = max(words, tall) if at_side else words + (FACES_ABOVE + tall if faces else 0.0)

    def draw(pen: Pen, x: float, y: float) -> None:
        below = draw_title(pen, x, y, connector.id, connector.title, words_width, tag, said.named)
        draw_fields(pen, x, below, said.fields, words_width, tag, letter_of(context))
        if faces:
            top = y if at_side else y + words + FACES_ABOVE
            _draw_faces(pen, faces, x + (width - faces.width if at_side else 0.0), top, wired, said.changes.marked, marked, with_legend, tag)
            at = x + max(left, width - max(faces.width, changes_width(said.changes, room))) if at_side else x
            draw_changes(pen, context, said.changes, at, top + faces.height + legend, room)

    return Drawn(total, draw)


def _said(context: Context, connector: Connector, more: Sequence[Field]) -> _Said:
    device = context.harness.devices.get(connector.device or "")
    of_device = [device.id] if device and device.connectors[0] == connector.id else []   # once, on the sheet where a device is found
    plain = [*flags_field(context, connector.id, *of_device), *_plain_fields(context, connector), *more]
    fields, named, changes = _with_marks(context, connector, plain, bool(more)), renamed(context, Thing.CONNECTOR, connector.id, connector.title), face_changes(context, connector)
    return _Said(connector, fields, named, changes, fields != plain or named is not None or bool(changes))


def _mate_to_match(context: Context, said: _Said, more: Sequence[Field]) -> Iterator[_Said]:
    """The other half, where it has a face, stands on the same sheet, and one of both differs from the version before."""
    mate = context.harness.connectors.get(_mate(context, said.connector) or "")
    if context.since and mate and mate.face and context.sheet_of.get(mate.id) == context.sheet_of.get(said.connector.id):
        other = _said(context, mate, [*_fittings(context, mate.id)] if more else ())
        if said.is_marked or other.is_marked:
            yield other


def _mate(context: Context, connector: Connector) -> str | None:
    return connector.mates or next((one.id for one in context.harness.connectors.values() if one.mates == connector.id), None)


# ---------------------------------------------------------------------- faces

def _both(face: Face) -> tuple[Face, Face]:
    written = face_in_view(face, face.view)
    return written, face_in_view(face, face.view.other)


def _pitch(views: Sequence[Face], width: float, height: float, changed: Container[str]) -> float | None:
    """The pitch at which each of these faces fits this room, None where numbers would not be legible.

    A tall face takes half the height if its numbers allow: the table is wanted on the same page.
    """
    least = max(least_pitch(view, changed) for view in views)
    if min(fitting_pitch(view, width, height, changed) for view in views) < least:
        return None
    return max(least, min(fitting_pitch(view, width, height / 2, changed) for view in views))


def _side_by_side(face: Face, match: Sequence[Face], width: float, height: float, changed: Container[str]) -> _Faces | None:
    """Both views beside each other, None where the numbers would not be legible; as the views to ``match`` are."""
    views = _both(face)
    pitch = _pitch([*views, *match], (width - GAP) / 2, height, changed)
    if pitch is None:
        return None
    sizes = [face_size(view, pitch) for view in (*views, *match)]
    column, tall = max(wide for wide, _ in sizes), max(high for _, high in sizes)
    apart = min(3 * GAP, width - 2 * column)
    if apart < GAP:
        return None
    placed = tuple(_Placed(view, Area(index * (column + apart), 0.0, column, tall)) for index, view in enumerate(views))
    return _Faces(pitch, placed, 2 * column + apart, tall)


def _below(face: Face, match: Sequence[Face], width: float, height: float, changed: Container[str]) -> _Faces:
    """The faces under the words: beside each other, else one above the other, else the written view alone."""
    if faces := _side_by_side(face, match, width, height, changed):
        return faces
    views = _both(face)
    pitch = _pitch([*views, *match], width, (height - GAP) / 2, changed)
    if pitch is None:
        views = views[:1]
        pitch = max(min(fitting_pitch(view, width, height, changed) for view in (*views, *match[:1])), PITCH_LEAST)
    placed, y = [], 0.0
    for view in views:
        _, high = face_size(view, pitch)
        placed.append(_Placed(view, Area(0.0, y, width, high)))
        y += high + GAP
    return _Faces(pitch, tuple(placed), width, y - GAP)


def _draw_faces(pen: Pen, faces: _Faces, x: float, y: float, wired: Container[str], changed: Container[str], marked: Container[str], with_legend: bool, tag: str) -> None:
    """``changed`` cavities have a cloud; the numbers leave room for those of ``marked`` ones."""
    for one in faces.placed:
        draw_face(pen, Area(x + one.area.x, y + one.area.y, one.area.w, one.area.h), one.face, faces.pitch, wired, changed, marked, tag=tag)
    if with_legend:
        pen.text(x + faces.width / 2, y + faces.height + 2.0 + SMALL, cut(LEGEND, faces.width, SMALL), SMALL, "middle", tag=tag)


# ---------------------------------------------------------------------- words

def _with_marks(context: Context, connector: Connector, fields: list[Field], with_fittings: bool) -> list[Field]:
    """The fields of a head, which include its fittings or not, with what differs from the version before."""
    old_id = context.since.comparison.pairing.before(Thing.CONNECTOR, connector.id) if context.since else None
    if context.since is None or old_id is None:
        return fields
    before = context.since.before
    old = before.harness.connectors[old_id]
    return with_changes(fields, [*_plain_fields(before, old), *(_fittings(before, old_id) if with_fittings else ())])


def _fittings(context: Context, name: str) -> Iterable[Field]:
    harness = context.harness
    return fitting_fields([harness.contacts[f"{name}.{cavity}"] for cavity in sorted(cavities_of(harness)[name], key=counted)])


def _plain_fields(context: Context, connector: Connector) -> Iterator[Field]:
    return ((caption, (value,)) for caption, value in _fields(context, connector))


def _fields(context: Context, connector: Connector) -> Iterator[tuple[str, Item]]:
    """Caption and value; what every connector has and nobody wrote is an empty box."""
    harness = context.harness
    device = harness.devices.get(connector.device) if connector.device else None
    if device:
        yield "Device", f"{device.id}, {device.title}" if device.title else device.id
    yield "Place", known(place_named(harness, harness.place_of.get(connector.id)), "unknown:place")
    yield "Half", connector.half or EmptyBox("unknown:half")
    yield "Housing", connector.housing or EmptyBox("unknown:housing")
    if mate := _mate(context, connector):
        yield "Mates with", sheet_link(mate, context.sheet_of.get(mate))
    if connector.face and connector.face.entry:
        yield "Wires enter", f"from the {connector.face.entry}, seen from the {connector.face.view.value}"
    if connector.service:
        yield "Service loop", context.length(connector.service)
    for caption, text in (("Photo", connector.photo), ("Note", connector.note), ("Evidence", connector.evidence)):
        if text:
            yield caption, text

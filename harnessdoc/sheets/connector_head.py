"""What stands above a pinout table: which connector it is, and its face in both views.

Takes a Context, a connector and the room; gives a piece of known height that draws
itself. The words stand left and the faces right of them where both find room, else
the faces below. Both views stand side by side where their numbers stay legible, else
one above the other; where even that does not fit, the view in which the face was
written down stands alone. The lock is drawn only where the description states its side.
All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
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
from .face_marks import changes_height, changes_width, draw_changes, face_changes
from .flow import Drawn
from .head_marks import letter_of, renamed, with_changes
from .list_cells import sheet_link
from .pinout_remarks import fitting_fields
from .subject_head import Field, draw_fields, draw_title, fields_height, title_height
from .stacks import Item

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


def has_empty(connector: Connector, wired: Container[str]) -> bool:
    """True where the face shows a cavity without a wire."""
    return connector.face is not None and any(spot.cavity not in wired for spot in connector.face.spots)


def connector_head(context: Context, connector: Connector, wired: Container[str], width: float, height: float, *,
                   with_legend: bool = False, more: Sequence[Field] = ()) -> Drawn:
    """The head of a connector in ``width`` mm, not higher than ``height``.

    ``wired`` are its cavities with a wire; ``with_legend`` says what the frames of the face mean; ``more`` are fields below its own.
    """
    words_width = min(WORDS_MOST, WORDS_SHARE * width)
    fields = _all_fields(context, connector, more)
    named = renamed(context, Thing.CONNECTOR, connector.id, connector.title)
    changes = face_changes(context, connector)
    tag = f"connector:{connector.id}"

    def words_height(room: float) -> float:
        return title_height(connector.id, connector.title, room, named) + fields_height(fields, room)

    def below_height(room: float) -> float:
        """Of what stands below the faces in ``room``."""
        return (LEGEND_ROOM if with_legend else 0.0) + changes_height(changes, room)

    faces, at_side = None, False
    beside = width - words_width - GAP
    if connector.face is not None:
        face = connector.face
        faces = _side_by_side(face, beside, height - below_height(beside), changes.marked)
        at_side = faces is not None
        faces = faces or _below(face, width, height - words_height(width) - FACES_ABOVE - below_height(width), changes.marked)
    left, room = (words_width + GAP, beside) if at_side else (0.0, width)
    words_width = words_width if at_side else width
    words = words_height(words_width)
    tall = (faces.height + below_height(room)) if faces else 0.0
    total = max(words, tall) if at_side else words + (FACES_ABOVE + tall if faces else 0.0)

    def draw(pen: Pen, x: float, y: float) -> None:
        below = draw_title(pen, x, y, connector.id, connector.title, words_width, tag, named)
        draw_fields(pen, x, below, fields, words_width, tag, letter_of(context))
        if faces:
            top = y if at_side else y + words + FACES_ABOVE
            _draw_faces(pen, faces, x + (width - faces.width if at_side else 0.0), top, wired, changes.marked, with_legend, tag)
            at = x + max(left, width - max(faces.width, changes_width(changes, room))) if at_side else x
            draw_changes(pen, context, changes, at, top + faces.height + (LEGEND_ROOM if with_legend else 0.0), room)

    return Drawn(total, draw)


# ---------------------------------------------------------------------- faces

def _both(face: Face) -> tuple[Face, Face]:
    written = face_in_view(face, face.view)
    return written, face_in_view(face, face.view.other)


def _pitch(views: Sequence[Face], width: float, height: float, changed: Container[str]) -> float | None:
    """The pitch for faces in this room, None where numbers would not be legible.

    A tall face takes half the height if its numbers allow: the table is wanted on the same page.
    """
    least = least_pitch(views[0], changed)
    if min(fitting_pitch(view, width, height, changed) for view in views) < least:
        return None
    return max(least, min(fitting_pitch(view, width, height / 2, changed) for view in views))


def _side_by_side(face: Face, width: float, height: float, changed: Container[str]) -> _Faces | None:
    """Both views beside each other, None where the numbers would not be legible."""
    views = _both(face)
    pitch = _pitch(views, (width - GAP) / 2, height, changed)
    if pitch is None:
        return None
    sizes = [face_size(view, pitch) for view in views]
    column, tall = max(wide for wide, _ in sizes), max(high for _, high in sizes)
    apart = min(3 * GAP, width - 2 * column)
    if apart < GAP:
        return None
    placed = tuple(_Placed(view, Area(index * (column + apart), 0.0, column, tall)) for index, view in enumerate(views))
    return _Faces(pitch, placed, 2 * column + apart, tall)


def _below(face: Face, width: float, height: float, changed: Container[str]) -> _Faces:
    """The faces under the words: beside each other, else one above the other, else the written view alone."""
    if faces := _side_by_side(face, width, height, changed):
        return faces
    views = _both(face)
    pitch = _pitch(views, width, (height - GAP) / 2, changed)
    if pitch is None:
        pitch, views = max(fitting_pitch(views[0], width, height, changed), PITCH_LEAST), views[:1]
    placed, y = [], 0.0
    for view in views:
        _, high = face_size(view, pitch)
        placed.append(_Placed(view, Area(0.0, y, width, high)))
        y += high + GAP
    return _Faces(pitch, tuple(placed), width, y - GAP)


def _draw_faces(pen: Pen, faces: _Faces, x: float, y: float, wired: Container[str], changed: Container[str], with_legend: bool, tag: str) -> None:
    for one in faces.placed:
        draw_face(pen, Area(x + one.area.x, y + one.area.y, one.area.w, one.area.h), one.face, faces.pitch, wired, changed, tag=tag)
    if with_legend:
        pen.text(x + faces.width / 2, y + faces.height + 2.0 + SMALL, cut(LEGEND, faces.width, SMALL), SMALL, "middle", tag=tag)


# ---------------------------------------------------------------------- words

def _all_fields(context: Context, connector: Connector, more: Sequence[Field]) -> list[Field]:
    """The fields of a head and ``more`` below them, with what differs from the version before."""
    fields = [*_plain_fields(context, connector), *more]
    old_id = context.since.comparison.pairing.before(Thing.CONNECTOR, connector.id) if context.since else None
    if context.since is None or old_id is None:
        return fields
    before = context.since.before
    old = before.harness.connectors[old_id]
    fittings = fitting_fields([before.harness.contacts[f"{old_id}.{name}"] for name in sorted(cavities_of(before.harness)[old_id], key=counted)]) if more else ()
    return with_changes(fields, [*_plain_fields(before, old), *fittings])


def _plain_fields(context: Context, connector: Connector) -> Iterator[Field]:
    return ((caption, (value,)) for caption, value in _fields(context, connector))


def _fields(context: Context, connector: Connector) -> Iterator[tuple[str, Item]]:
    """Caption and value; what every connector has and nobody wrote is an empty box."""
    harness = context.harness
    device = harness.devices.get(connector.device) if connector.device else None
    if device:
        yield "Device", f"{device.id}, {device.title}" if device.title else device.id
    place = harness.place_of.get(connector.id)
    point = harness.points.get(place) if place else None
    yield "Place", (f"{place}, {point.title}" if point and point.title else place) or EmptyBox("unknown:place")
    yield "Half", connector.half or EmptyBox("unknown:half")
    yield "Housing", connector.housing or EmptyBox("unknown:housing")
    mate = connector.mates or next((one.id for one in harness.connectors.values() if one.mates == connector.id), None)
    if mate:
        yield "Mates with", sheet_link(mate, context.sheet_of.get(mate))
    if connector.face and connector.face.entry:
        yield "Wires enter", f"from the {connector.face.entry}, seen from the {connector.face.view.value}"
    if connector.service:
        yield "Service loop", context.length(connector.service)
    for caption, text in (("Photo", connector.photo), ("Note", connector.note), ("Evidence", connector.evidence)):
        if text:
            yield caption, text

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
from .context import Context
from .face import LEGEND, SMALL, draw_face, face_in_view, face_size, fitting_pitch, least_pitch
from .flow import Drawn
from .list_cells import sheet_link
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
    fields: list[Field] = [*((caption, (value,)) for caption, value in _fields(context, connector)), *more]
    legend_room = LEGEND_ROOM if with_legend else 0.0
    tag = f"connector:{connector.id}"

    def words_height(room: float) -> float:
        return title_height(connector.id, connector.title, room) + fields_height(fields, room)

    faces, at_side = None, False
    if connector.face is not None:
        face = connector.face
        faces = _side_by_side(face, width - words_width - GAP, height - legend_room)
        at_side = faces is not None
        faces = faces or _below(face, width, height - words_height(width) - FACES_ABOVE - legend_room)
    words_width = words_width if at_side else width
    words = words_height(words_width)
    tall = (faces.height + legend_room) if faces else 0.0
    total = max(words, tall) if at_side else words + (FACES_ABOVE + tall if faces else 0.0)

    def draw(pen: Pen, x: float, y: float) -> None:
        below = draw_title(pen, x, y, connector.id, connector.title, words_width, tag)
        draw_fields(pen, x, below, fields, words_width, tag)
        if faces:
            left = x + (width - faces.width if at_side else 0.0)
            _draw_faces(pen, faces, left, y if at_side else y + words + FACES_ABOVE, wired, with_legend, tag)

    return Drawn(total, draw)


# ---------------------------------------------------------------------- faces

def _both(face: Face) -> tuple[Face, Face]:
    written = face_in_view(face, face.view)
    return written, face_in_view(face, face.view.other)


def _pitch(views: Sequence[Face], width: float, height: float) -> float | None:
    """The pitch for faces in this room, None where numbers would not be legible.

    A tall face takes half the height if its numbers allow: the table is wanted on the same page.
    """
    least = least_pitch(views[0])
    if min(fitting_pitch(view, width, height) for view in views) < least:
        return None
    return max(least, min(fitting_pitch(view, width, height / 2) for view in views))


def _side_by_side(face: Face, width: float, height: float) -> _Faces | None:
    """Both views beside each other, None where the numbers would not be legible."""
    views = _both(face)
    pitch = _pitch(views, (width - GAP) / 2, height)
    if pitch is None:
        return None
    sizes = [face_size(view, pitch) for view in views]
    column, tall = max(wide for wide, _ in sizes), max(high for _, high in sizes)
    apart = min(3 * GAP, width - 2 * column)
    if apart < GAP:
        return None
    placed = tuple(_Placed(view, Area(index * (column + apart), 0.0, column, tall)) for index, view in enumerate(views))
    return _Faces(pitch, placed, 2 * column + apart, tall)


def _below(face: Face, width: float, height: float) -> _Faces:
    """The faces under the words: beside each other, else one above the other, else the written view alone."""
    if faces := _side_by_side(face, width, height):
        return faces
    views = _both(face)
    pitch = _pitch(views, width, (height - GAP) / 2)
    if pitch is None:
        pitch, views = max(fitting_pitch(views[0], width, height), PITCH_LEAST), views[:1]
    placed, y = [], 0.0
    for view in views:
        _, high = face_size(view, pitch)
        placed.append(_Placed(view, Area(0.0, y, width, high)))
        y += high + GAP
    return _Faces(pitch, tuple(placed), width, y - GAP)


def _draw_faces(pen: Pen, faces: _Faces, x: float, y: float, wired: Container[str], with_legend: bool, tag: str) -> None:
    for one in faces.placed:
        draw_face(pen, Area(x + one.area.x, y + one.area.y, one.area.w, one.area.h), one.face, faces.pitch, wired, tag=tag)
    if with_legend:
        pen.text(x + faces.width / 2, y + faces.height + 2.0 + SMALL, cut(LEGEND, faces.width, SMALL), SMALL, "middle", tag=tag)


# ---------------------------------------------------------------------- words

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

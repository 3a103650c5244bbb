"""Connector faces: every cavity at its place, in a view that stands below in words.

Takes a Face, the cavities that are wired and the view wanted; draws the face as it
was written or, for the other view, left and right exchanged. A wired cavity has a
heavy frame, an empty one a narrow dashed frame, so that they differ on any photocopy.
The lock, where its side is known, is a tab there; where the wires do not leave straight behind, an arrow
shows them. A cavity at which something differs from the version before has a cloud
inside its frame, a second circle where cavities are round. All lengths in mm; a pitch
is the distance of neighbouring cavities.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, replace
from math import cos, hypot, pi, sin

from ..drawing.lettering import cut, text_width
from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE, Area
from ..drawing.revision_marks import BULGE, draw_cloud
from ..model.faces import mirrored
from ..model.harness import Face, Spot, View

PITCH_MOST = 7.5
PITCH_FOR_NAMES = 16.0
"""Pitch a face may have where cavities have names instead of numbers; longer names are cut."""
NUMBER_LEAST = 1.8
NUMBER_MOST = 2.5
CAPTION = 2.5
SMALL = 1.8
BOX = 0.9
"""Side of a cavity's box as a share of the pitch."""
CLEAR = 0.35
"""Least space between a number and the frame of its box."""
MARGIN = 1.6
"""From the outermost boxes to the outline."""
CLOSE_PITCH = 6.0
CLOSE_FRAME = 0.35
"""Below CLOSE_PITCH a wired cavity has this frame: with a wide one its small number clogs."""
TAB = 2.4
"""How far the lock stands out of the outline."""
ARROW = 6.0
"""Length of the arrow where wires enter from a side."""
UNDER = 9.5
"""Room for the words below the outline."""
DASH = (0.7, 0.7)
CLOUD = BULGE + THIN + 0.1
"""Room that the cloud inside a frame takes on each side of the number."""
VIEW_WORDS = {View.MATING: "seen from the mating face", View.WIRE: "seen from the wire side"}
BEHIND_WORDS = {View.MATING: "wires leave behind the face", View.WIRE: "wires leave toward you"}
LEGEND = "heavy frame: wired; dashed frame: empty"
_WORD_GAP = 1.0
_OFF_LINE = 0.9
"""From the outline to the word beside the lock."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """Room taken on each side of the cavities, in mm."""

    left: float
    top: float
    right: float
    bottom: float


def face_in_view(face: Face, view: View) -> Face:
    """The face seen from ``view``; with places in mm reckoned in pitches, the nearest two cavities one apart."""
    seen = face if face.view is view else mirrored(face)
    return seen if seen.unit == "pitch" else replace(seen, unit="pitch", spots=_in_pitches(seen.spots))


def least_pitch(face: Face, changed: Container[str] = ()) -> float:
    """The smallest pitch at which every cavity holds its number, 1.8 mm high, and those that ``changed`` a cloud round it."""
    return max(_least_for(spot, face.shape == "ring", spot.cavity in changed) for spot in face.spots)


def face_size(face: Face, pitch: float) -> tuple[float, float]:
    """Width and height of a face with outline, lock, arrow and the words below it."""
    wide, high, frame = _extent(face, pitch)
    words = max(text_width(text, height) for text, height in _words(face))
    return max(wide + frame.left + frame.right, words), high + frame.top + frame.bottom + UNDER


def fitting_pitch(face: Face, width: float, height: float, changed: Container[str] = ()) -> float:
    """The largest sensible pitch at which a face fits; may be too small for its numbers, or negative."""
    wide, high, _ = _extent(face, 1.0)
    least = least_pitch(face, changed)
    frame = _extent(face, least)[2]
    room_x = width - frame.left - frame.right - 2 * MARGIN
    room_y = height - frame.top - frame.bottom - UNDER - 2 * MARGIN
    return min(max(PITCH_MOST, min(least, PITCH_FOR_NAMES)), room_x / (wide - 2 * MARGIN), room_y / (high - 2 * MARGIN))


def draw_face(pen: Pen, area: Area, face: Face, pitch: float, wired: Container[str], changed: Container[str] = (), alike: Container[str] = (), *, tag: str = "face", small_words: bool = True) -> None:
    """Draws a face in the view it has, in the middle of the top of ``area``; made by ``face_in_view``.

    ``changed`` cavities get a cloud; numbers are as high as if those of ``alike``, changed at the other half, had one too. ``small_words``: those in small letters stand below, too.
    """
    wide, high, frame = _extent(face, pitch)
    x = area.x + (area.w - wide - frame.left - frame.right) / 2 + frame.left
    outline = Area(x, area.y + frame.top, wide, high)
    left, top = _corner(face)
    ring = face.shape == "ring"
    if ring:
        pen.circle(outline.x + wide / 2, outline.y + high / 2, wide / 2, WIDE, tag=tag)
    else:
        _draw_rounded(pen, outline, min(2.0, wide / 4, high / 4), tag)
    offset = (wide - (_right(face) - left) * pitch) / 2, (high - (top - _bottom(face)) * pitch) / 2
    height = NUMBER_MOST if all(_fits(spot, NUMBER_MOST, pitch, ring, spot.cavity in changed or spot.cavity in alike) for spot in face.spots) else NUMBER_LEAST
    for spot in face.spots:
        cx = outline.x + offset[0] + (spot.x - left) * pitch
        cy = outline.y + offset[1] + (top - spot.y) * pitch
        _draw_cavity(pen, cx, cy, spot, pitch, height, spot.cavity in wired, ring)
        if spot.cavity in changed and _fits(spot, height, pitch, ring, True):
            _draw_ring(pen, cx, cy, spot, pitch, ring)
    if face.lock:
        _draw_lock(pen, outline, face.lock, ring, face.entry == face.lock, tag)
    if face.entry:
        _draw_entry(pen, outline, face.entry, TAB if face.entry == face.lock else 0.0, tag)
    middle, y = area.x + area.w / 2, outline.bottom + frame.bottom + 1.0
    for text, height in _words(face) if small_words else _words(face)[:1]:
        y += height
        pen.text(middle, y, text, height, "middle", tag=tag)
        y += 1.4


def _words(face: Face) -> tuple[tuple[str, float], ...]:
    view = (VIEW_WORDS[face.view], CAPTION)
    return (view,) if face.entry else (view, (BEHIND_WORDS[face.view], SMALL))


# ------------------------------------------------------------------- measures

def _in_pitches(spots: tuple[Spot, ...]) -> tuple[Spot, ...]:
    apart = [max(abs(a.x - b.x), abs(a.y - b.y)) for index, a in enumerate(spots) for b in spots[:index]]
    unit = min((distance for distance in apart if distance > 0), default=1.0)
    return tuple(replace(spot, x=spot.x / unit, y=spot.y / unit) for spot in spots)


def _around(changed: bool) -> float:
    """Room beside a number for frame and cloud, both sides together."""
    return 2 * CLEAR + WIDE + (2 * CLOUD if changed else 0.0)


def _least_for(spot: Spot, ring: bool, changed: bool) -> float:
    across, around = text_width(spot.cavity, NUMBER_LEAST, "bold"), _around(changed)
    if ring:
        return (hypot(across, NUMBER_LEAST) + around) / BOX
    return max((across + around) / (spot.wide - 1 + BOX), (NUMBER_LEAST + around) / (spot.high - 1 + BOX))


def _corner(face: Face) -> tuple[float, float]:
    return min(spot.x - spot.wide / 2 for spot in face.spots), max(spot.y + spot.high / 2 for spot in face.spots)


def _right(face: Face) -> float:
    return max(spot.x + spot.wide / 2 for spot in face.spots)


def _bottom(face: Face) -> float:
    return min(spot.y - spot.high / 2 for spot in face.spots)


def _extent(face: Face, pitch: float) -> tuple[float, float, _Frame]:
    """Width and height of the outline, and what stands around it."""
    if face.shape == "ring":
        wide = high = 2 * max(hypot(spot.x, spot.y) + 0.5 for spot in face.spots) * pitch + 2 * MARGIN
    else:
        left, top = _corner(face)
        wide, high = (_right(face) - left) * pitch + 2 * MARGIN, (top - _bottom(face)) * pitch + 2 * MARGIN
    room = dict.fromkeys(("left", "top", "right", "bottom"), 0.0)
    if face.lock in room:
        room[face.lock] += max(TAB, _OFF_LINE + SMALL) if face.lock in ("top", "bottom") else TAB + _WORD_GAP + text_width("lock", SMALL)
    if face.entry in room:
        room[face.entry] += ARROW if face.entry in ("top", "bottom") else ARROW + _WORD_GAP + text_width("wires", SMALL)
    # Words beside a tab or arrow at the top or bottom may stand out of a narrow outline.
    if {face.lock, face.entry} & {"top", "bottom"}:
        beside = 5.0 + _WORD_GAP + text_width("wires" if face.entry in ("top", "bottom") else "lock", SMALL)
        over = max(0.0, beside - wide / 2)
        room["left"], room["right"] = max(room["left"], over), max(room["right"], over)
    return wide, high, _Frame(**room)


# -------------------------------------------------------------------- drawing

def _draw_cavity(pen: Pen, cx: float, cy: float, spot: Spot, pitch: float, height: float, is_wired: bool, ring: bool) -> None:
    tag = f"cavity:{spot.cavity}"
    wide, high = _box(spot, pitch)
    heavy = CLOSE_FRAME if pitch < CLOSE_PITCH else WIDE
    if not ring:
        pen.rect(cx - wide / 2, cy - high / 2, wide, high, heavy if is_wired else THIN, dash=() if is_wired else DASH, tag=tag)
    elif is_wired:
        pen.circle(cx, cy, wide / 2, heavy, tag=tag)
    else:
        steps = 36
        pen.polygon([(cx + wide / 2 * cos(2 * pi * i / steps), cy + wide / 2 * sin(2 * pi * i / steps)) for i in range(steps)], dash=DASH, tag=tag)
    shown = cut(spot.cavity, wide - 2 * CLEAR - WIDE, height, "bold")
    if shown != "…":
        pen.text(cx, cy + height / 2, shown, height, "middle", "bold" if is_wired else "regular", tag=tag)


def _draw_ring(pen: Pen, cx: float, cy: float, spot: Spot, pitch: float, ring: bool) -> None:
    """The mark of a cavity that differs from before, inside its frame."""
    wide, high = _box(spot, pitch)
    tag = f"changed:{spot.cavity}"
    if ring:
        pen.circle(cx, cy, wide / 2 - WIDE / 2 - BULGE, THIN, tag=tag)
    else:
        inset = WIDE / 2 + 0.05
        draw_cloud(pen, cx - wide / 2 + inset, cy - high / 2 + inset, wide - 2 * inset, high - 2 * inset, tag=tag)


def _box(spot: Spot, pitch: float) -> tuple[float, float]:
    gap = (1 - BOX) * pitch
    return spot.wide * pitch - gap, spot.high * pitch - gap


def _fits(spot: Spot, height: float, pitch: float, ring: bool, changed: bool) -> bool:
    wide, high = _box(spot, pitch)
    across, around = text_width(spot.cavity, height, "bold"), _around(changed)
    if ring:
        return hypot(across, height) + around <= wide
    return across + around <= wide and height + around <= high


def _draw_rounded(pen: Pen, area: Area, r: float, tag: str) -> None:
    """The outline of a block: a rectangle with round corners."""
    x, y, right, bottom = area.x, area.y, area.right, area.bottom
    for x1, y1, x2, y2 in ((x + r, y, right - r, y), (right, y + r, right, bottom - r), (right - r, bottom, x + r, bottom), (x, bottom - r, x, y + r)):
        pen.line(x1, y1, x2, y2, WIDE, tag=tag)
    for cx, cy, start in ((x + r, y + r, 180), (right - r, y + r, 270), (right - r, bottom - r, 0), (x + r, bottom - r, 90)):
        pen.arc(cx, cy, r, start, start + 90, WIDE, tag=tag)


def _draw_lock(pen: Pen, outline: Area, side: str, ring: bool, shares: bool, tag: str) -> None:
    """The lock: a tab in the middle of its side, named; its name stands higher where it ``shares`` the side with the wires."""
    share = 0.25 if ring else 0.4
    long = min(10.0, share * (outline.w if side in ("top", "bottom") else outline.h))
    middle_x, middle_y = outline.x + outline.w / 2, outline.y + outline.h / 2
    if side in ("top", "bottom"):
        y = outline.y - TAB if side == "top" else outline.bottom
        pen.rect(middle_x - long / 2, y, long, TAB, WIDE, tag=tag)
        base = outline.y - _OFF_LINE if side == "top" else outline.bottom + _OFF_LINE + SMALL
        pen.text(middle_x + long / 2 + _WORD_GAP, base, "lock", SMALL, tag=tag)
    else:
        x = outline.x - TAB if side == "left" else outline.right
        pen.rect(x, middle_y - long / 2, TAB, long, WIDE, tag=tag)
        anchor, at = ("end", x - _WORD_GAP) if side == "left" else ("start", x + TAB + _WORD_GAP)
        pen.text(at, middle_y + SMALL / 2 - (2.6 if shares else 0.0), "lock", SMALL, anchor, tag=tag)


def _draw_entry(pen: Pen, outline: Area, side: str, beyond: float, tag: str) -> None:
    """An arrow where the wires enter from a side, beginning ``beyond`` outside the outline."""
    middle_x, middle_y = outline.x + outline.w / 2, outline.y + outline.h / 2
    dx, dy = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}[side]
    tip_x = middle_x + dx * (outline.w / 2 + beyond + 0.6)
    tip_y = middle_y + dy * (outline.h / 2 + beyond + 0.6)
    end_x, end_y = tip_x + dx * (ARROW - 1.0), tip_y + dy * (ARROW - 1.0)
    pen.line(tip_x + dx * 2, tip_y + dy * 2, end_x, end_y, WIDE, tag=tag)
    pen.polygon([(tip_x, tip_y), (tip_x + dx * 2 - dy, tip_y + dy * 2 + dx), (tip_x + dx * 2 + dy, tip_y + dy * 2 - dx)], THIN, fill="#000000", tag=tag)
    if dx:
        pen.text(end_x + dx * _WORD_GAP, middle_y + SMALL / 2, "wires", SMALL, "start" if dx > 0 else "end", tag=tag)
    else:
        pen.text(middle_x + 1.6 + _WORD_GAP, (tip_y + end_y + SMALL) / 2 + dy * 0.8, "wires", SMALL, tag=tag)

"""Connector faces: from the rows, ring or places as written to spots; and the other view.

A face is kept in the view in which it was written. `mirrored` gives the other
view, left and right exchanged; twice is the identity.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from math import cos, radians, sin

from ..description.text import Items, Record
from ..description.units import parse_quantity
from .harness import Face, Spot, View
from .ids import name_fault, printable, refuse
from .values import Values

_RANGE = re.compile(r"^([A-Za-z]*)(\d+)\.\.([A-Za-z]*)(\d+)$")
_NUMBER = re.compile(r"^-?[0-9]{1,6}(\.[0-9]{1,6})?$")
_ANGLE = partial(parse_quantity, kind="angle", zero=True)
_LETTERS = re.compile(r"^([A-Za-z])\.\.([A-Za-z])$")
_LONGEST_RANGE = 500
GAP, HALF = "gap", "half"


def read_face(values: Values, record: Record, owner: str) -> Face | None:
    """The face of a connector record, None where it has none or an unreadable one."""
    written = record.get("face")
    view = record.get("view")
    if view not in (View.MATING.value, View.WIRE.value):
        return None  # the schema check asks for the view
    if isinstance(written, Items):
        spots, shape, unit = _rows(values, written, owner), "rows", "pitch"
    elif isinstance(written, Record) and isinstance(written.get("ring"), Items):
        spots, shape, unit = _ring(values, written, owner), "ring", "pitch"
    elif isinstance(written, Record) and isinstance(written.get("xy"), Record):
        spots, shape, unit = _places(written["xy"]), "xy", "mm"
    else:
        return None
    if not spots and _only_gaps(written):
        values.error("face-empty", f"the face of {owner} has no cavities", record.place_of("face"), "write its rows, or take `face:` and `view:` out")
    spots = _usable(values, record, spots, owner)
    if not spots:
        return None
    return Face(tuple(spots), View(view), shape, unit, values.text(record, "lock"), values.text(record, "entry"))


def mirrored(face: Face) -> Face:
    """The same face seen from the other side: left and right exchanged."""
    swap = {"left": "right", "right": "left"}
    return replace(
        face,
        spots=tuple(replace(spot, x=-spot.x if spot.x else 0.0) for spot in face.spots),
        view=face.view.other,
        lock=swap.get(face.lock, face.lock),
        entry=swap.get(face.entry, face.entry),
    )


def expand_range(text: str) -> tuple[str, ...] | None:
    """``1..13``, ``A1..A6`` or ``A..H`` as single cavities, downward too; one cavity as itself; None if bad."""
    letters = _LETTERS.match(text)
    if letters is not None and letters[1].isupper() == letters[2].isupper():
        first, last = ord(letters[1]), ord(letters[2])
        return tuple(map(chr, range(first, last + 1) if first <= last else range(first, last - 1, -1)))
    match = _RANGE.match(text)
    if match is None:
        return None if ".." in text else (text,)
    before, first, again, last = match.groups()
    if before != again or abs(int(last) - int(first)) >= _LONGEST_RANGE:
        return None
    step = 1 if int(last) >= int(first) else -1
    # 01..12 as moulded: the zeros are part of the name, and wires are written with them
    width = len(first) if "0" in (first[0], last[0]) and len(first) == len(last) else 0
    return tuple(f"{before}{number:0{width}}" for number in range(int(first), int(last) + step, step))


def _rows(values: Values, rows: Items, owner: str) -> list[Spot]:
    placed: list[tuple[str, float, float, float, float]] = []    # cavity, middle, width and height
    for down, row in enumerate(rows):
        x = 0.0
        for position, item in enumerate(row if isinstance(row, Items) else ()):
            if item == GAP:
                x += 1.0
            elif item == HALF:
                x += 0.5
            elif isinstance(item, Record):
                wide, high = number_of(item.get("wide")) or 1.0, number_of(item.get("high")) or 1.0
                if isinstance(item.get("cavity"), str):
                    placed.append((item["cavity"], x + (wide - 1) / 2, -down - (high - 1) / 2, wide, high))
                x += wide
            elif isinstance(item, str):
                for cavity in _cavities(values, item, row, position, owner):
                    placed.append((cavity, x, float(-down), 1.0, 1.0))
                    x += 1.0
    return _centred(placed)


def _centred(placed: list[tuple[str, float, float, float, float]]) -> list[Spot]:
    """Rows start at x = 0 at the left; move the middle of the face to (0, 0)."""
    if not placed:
        return []
    dx = (min(x - wide / 2 for _, x, _, wide, _ in placed) + max(x + wide / 2 for _, x, _, wide, _ in placed)) / 2
    dy = (min(y - high / 2 for _, _, y, _, high in placed) + max(y + high / 2 for _, _, y, _, high in placed)) / 2
    return [Spot(cavity, x - dx, y - dy, wide, high) for cavity, x, y, wide, high in placed]


def _ring(values: Values, written: Record, owner: str) -> list[Spot]:
    ring: Items = written["ring"]
    cavities = [cavity for position, item in enumerate(ring) if isinstance(item, str)
                for cavity in ([item] if item == GAP else _cavities(values, item, ring, position, owner))]
    if not cavities:
        return []
    start = values.quantity(written, "start", _ANGLE, owner)
    turn = -1.0 if written.get("direction") == "counter-clockwise" else 1.0
    # neighbours on the ring stand one pitch apart, and a centre cavity needs one pitch too
    radius = max(1.2, 0.5 / sin(radians(180 / len(cavities))) if len(cavities) > 1 else 1.2)
    spots = []
    for number, cavity in enumerate(cavities):
        angle = radians((start.value if start else 0.0) + turn * number * 360 / len(cavities))
        if cavity != GAP:
            spots.append(Spot(cavity, round(radius * sin(angle), 4), round(radius * cos(angle), 4)))
    centre = written.get("centre")
    if isinstance(centre, str):
        spots.append(Spot(centre, 0.0, 0.0))
    return spots


def _places(written: Record) -> list[Spot]:
    spots = []
    for cavity, place in written.items():
        x, y = map(number_of, place) if isinstance(place, Items) and len(place) == 2 else (None, None)
        if x is not None and y is not None:
            spots.append(Spot(cavity, x, y))
    return spots


def number_of(written: object) -> float | None:
    """A plain number; None for anything else (the schema check has reported it)."""
    return float(written) if isinstance(written, str) and _NUMBER.match(written) else None


def _cavities(values: Values, item: str, row: Items, position: int, owner: str) -> tuple[str, ...]:
    cavities = expand_range(item)
    if cavities is None:
        values.error("bad-range", f"'{item}' in the face of {owner} is no range of cavities", row.place_of(position),
                     f"write a range such as `1..13`, `A1..A6` or `A..H`, at most {_LONGEST_RANGE} cavities")
        return ()
    return cavities


def _only_gaps(face: Items | Record) -> bool:
    """Whether a face is well written, but for that it has no cavities."""
    rows = face if isinstance(face, Items) else [face.get("ring")]
    return bool(rows) and all(isinstance(row, Items) and all(item in (GAP, HALF) for item in row) for row in rows)


def _usable(values: Values, record: Record, spots: list[Spot], owner: str) -> list[Spot]:
    """The spots without those whose cavity is named before, or cannot be part of an address."""
    kept: dict[str, Spot] = {}
    for spot in spots:
        if fault := name_fault(spot.cavity):
            refuse(values, f"cavity '{printable(spot.cavity)}' of {owner}", fault, record.place_of("face"))
        elif spot.cavity in kept:
            values.error("cavity-twice-on-face", f"the face of {owner} names cavity {spot.cavity} twice", record.place_of("face"),
                         "every cavity stands once; write `gap` for an empty place")
        else:
            kept[spot.cavity] = spot
    return list(kept.values())

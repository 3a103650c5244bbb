"""What is written beside the marks of the bundle: splices, points, and segments that differ from the version before.

Takes a Context; gives the labels, each with the size it takes. Where a label says
something else than it did in the version before, it has a cloud, the old lines struck
through below, and the revision triangle. Numbers of sheets are no difference. What is gone
and where it hung is told at the points that are left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..drawing.lettering import Weight, cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.revision_marks import HIGH, SIDE
from ..model.harness import Harness, Segment, Splice
from ..revision.changes import Thing
from .bundle_layout import Spot
from .change_marks import BESIDE, DOWN, STRUCK, UP
from .context import Context
from .marking import bare
from .splice_words import distance_words

DATA = 2.5
PITCH = 4.0
DESCENT = 0.8
MOST_OWNERS = 4
MOST_WIDTH = 62.0
MOST_GONE = 4
TRIANGLE_APART = 1.2


@dataclass(frozen=True, slots=True)
class LabelLine:
    """A line of a label and the sheet it leads to ("" for none); ``whole``: the words it is one line of, where they take several; ``lead``: more room above it, mm."""

    text: str
    weight: Weight = "regular"
    target: str = ""
    whole: str = ""
    lead: float = 0.0

    @property
    def width(self) -> float:
        """In mm."""
        return text_width(self.text, DATA, self.weight)

    def draw(self, pen: Pen, x: float, base: float, tag: str) -> None:
        """From x on, on the baseline ``base``, with its link."""
        width = pen.text(x, base, self.text, DATA, weight=self.weight, tag=tag)
        if self.target:
            pen.link(x, base - DATA - 0.6, width, PITCH, self.target, tag=tag)


@dataclass(frozen=True, slots=True)
class Label:
    """What stands beside the mark at x, y; ``was`` what no longer holds. A label that ``is_changed`` has a triangle, and a cloud round its lines where it has any."""

    x: float
    y: float
    lines: tuple[LabelLine, ...]
    tag: str
    was: tuple[str, ...] = ()
    is_changed: bool = False

    @property
    def triangle_at(self) -> float:
        """From the left edge to the triangle, which stands right of the lines."""
        beside = [line.width for line in self.lines] or [text_width(text, DATA) for text in self.was]
        return 2 * BESIDE + max(beside) + TRIANGLE_APART

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in mm, with cloud and triangle."""
        if not self.is_changed:
            return max(line.width for line in self.lines), self.base(len(self.lines) - 1) + DESCENT
        old = max((text_width(text, DATA) for text in self.was), default=0.0)
        return max(self.triangle_at + SIDE, BESIDE + old), max(HIGH, self.last_base + (DESCENT if self.was else DOWN))

    @property
    def first_base(self) -> float:
        """From the upper edge to the first baseline."""
        return UP if self.is_changed and self.lines else DATA

    def base(self, row: int) -> float:
        """From the upper edge to the baseline of a line."""
        return self.first_base + row * PITCH + sum(line.lead for line in self.lines[1:row + 1])

    @property
    def first_old_base(self) -> float:
        """From the upper edge to the first baseline of what no longer holds."""
        return self.base(len(self.lines) - 1) + STRUCK if self.lines else DATA

    @property
    def last_base(self) -> float:
        return self.first_old_base + PITCH * (len(self.was) - 1) if self.was else self.base(len(self.lines) - 1)


class Labels:
    """The labels of one harness; with a version before, what differs from it."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.since = context.since
        self._ends = _ends_of_points(context)
        self._ends_before = _ends_of_points(self.since.before) if self.since else {}
        self._gone_at = self._gone_segments()

    def splice(self, splice: Splice, x: float, y: float) -> Label:
        """The id of a splice, its join, and where it sits."""
        label = Label(x, y, _splice_lines(self.context, splice), f"splice:{splice.id}")
        old = self._before(Thing.SPLICE, splice.id)
        if self.since is None or old is None:
            return replace(label, is_changed=self.since is not None)
        before = self.since.before
        return compared(label, _splice_lines(before, before.harness.splices[old]) if old in before.geometry.stations else ())

    def gone_splice(self, old: str, x: float, y: float) -> Label:
        """A splice that was here."""
        return Label(x, y, (), f"gone:{old}", (cut(old, MOST_WIDTH, DATA),), is_changed=True)

    def gone_splices(self) -> Iterator[tuple[str, str | None, float | None, str | None]]:
        """Splices that are gone: the old id, and the segment with the offset from its beginning, or the point, at which they were, as the new version has it."""
        if self.since is None:
            return
        pairing, before, harness = self.since.comparison.pairing, self.since.before, self.context.harness
        for name, station in before.geometry.stations.items():
            if pairing.now(Thing.SPLICE, name) is not None:
                continue
            segment = pairing.now(Thing.SEGMENT, station.segment) if station.segment else None
            if segment is not None and station.offset_mm is not None:
                yield name, segment, _offset_now(before.harness.segments[station.segment or ""], harness.segments[segment], station.offset_mm, pairing.now), None
            elif station.toward_point is None:
                yield name, None, None, pairing.now(Thing.POINT, station.from_point)

    def point(self, spot: Spot, is_first: bool) -> Label:
        """The name of a point and, where it stands for the first time, what sits there and what hung there."""
        lines = _point_lines(self.context, spot.point, self._ends.get(spot.point, ()) if is_first else ())
        label = Label(spot.x, spot.y, lines, f"point:{spot.point}")
        if self.since and is_first:
            old = self._before(Thing.POINT, spot.point)
            label = compared(label, _point_lines(self.since.before, old, self._ends_before.get(old, ()))) if old is not None else replace(label, is_changed=True)
            gone = self._gone_at.get(spot.point, ())
            label = replace(label, was=(*label.was, *gone[:MOST_GONE]), is_changed=label.is_changed or bool(gone))
        return replace(label, lines=(*label.lines, LabelLine(f"continues at {spot.on}"))) if spot.on else label

    def segment(self, name: str, x: float, y: float) -> Label | None:
        """A segment that is new or whose length or ends differ; None where nothing does."""
        if self.since is None:
            return None
        now, old_id = self.context.harness.segments[name], self._before(Thing.SEGMENT, name)
        label = Label(x, y, (LabelLine(cut(f"{name}: {_length(self.context, now)}", MOST_WIDTH, DATA)),), f"segment label:{name}", is_changed=True)
        if old_id is None:
            return label
        old = self.since.before.harness.segments[old_id]
        names = (old_id,) if old_id != name else ()
        length = (_length(self.since.before, old),) if old.length_mm != now.length_mm else ()
        ends = (f"{old.from_} to {old.to}",) if {old.from_, old.to} != {now.from_, now.to} else ()
        was = (*names, *length, *ends)
        return replace(label, was=tuple(cut(text, MOST_WIDTH, DATA) for text in was)) if was else None

    def _before(self, thing: Thing, name: str) -> str | None:
        return self.since.comparison.pairing.before(thing, name) if self.since else None

    def _gone_segments(self) -> dict[str, list[str]]:
        """Point of the new version -> segments that hung there and are gone, in words."""
        found: dict[str, list[str]] = {}
        if self.since is None:
            return found
        pairing = self.since.comparison.pairing
        for old in self.since.before.harness.segments.values():
            if pairing.now(Thing.SEGMENT, old.id) is None:
                for end, other in ((old.from_, old.to), (old.to, old.from_)):
                    if point := pairing.now(Thing.POINT, end):
                        found.setdefault(point, []).append(cut(f"{old.id} to {other}", MOST_WIDTH, DATA))
                        break
        return found


def compared(label: Label, before: Sequence[LabelLine]) -> Label:
    """The label with what only the version before said, words that took several lines as a whole."""
    now, old = ([(bare(line.text), bare(line.whole or line.text)) for line in lines] for lines in (label.lines, before))
    words = {whole for _, whole in now}
    return replace(label, was=tuple(text for text, whole in old if whole not in words), is_changed=True) if now != old else label


def _offset_now(old: Segment, new: Segment, offset_mm: float, now) -> float:
    """The offset of a place on a segment, from the beginning the segment has in the new version and no further than its end."""
    is_turned = now(Thing.POINT, old.from_) == new.to and old.length_mm is not None
    offset = old.length_mm - offset_mm if is_turned else offset_mm
    return offset if new.length_mm is None else min(offset, new.length_mm)


def _length(context: Context, segment: Segment) -> str:
    return "length not known" if segment.length_mm is None else context.mm(segment.length_mm)


def _splice_lines(context: Context, splice: Splice) -> tuple[LabelLine, ...]:
    station = context.geometry.stations[splice.id]
    sheet = context.sheet_of.get(splice.id)
    first = splice.id + (f", join {splice.join}" if splice.join else "")
    second = f"{distance_words(splice, station, context.options.units)} from {station.from_point}" if station.toward_point else f"at {station.from_point}"
    number = f" → {sheet.number}" if sheet else ""
    return (
        LabelLine(cut(first, MOST_WIDTH - text_width(number, DATA, "bold"), DATA, "bold") + number, "bold", sheet.name if sheet else ""),
        LabelLine(cut(second, MOST_WIDTH, DATA)),
    )


def _point_lines(context: Context, point: str, owners: Sequence[str]) -> tuple[LabelLine, ...]:
    lines = [LabelLine(line, whole=point) for line in _two(wrap(point, MOST_WIDTH, DATA))]
    shown = owners if len(owners) <= MOST_OWNERS else owners[:MOST_OWNERS - 1]
    for name in shown:
        sheet = context.sheet_of.get(name)
        number = f" → {sheet.number}" if sheet else ""
        lines.append(LabelLine(cut(name, MOST_WIDTH - text_width(number, DATA), DATA) + number, "regular", sheet.name if sheet else ""))
    if len(shown) < len(owners):
        lines.append(LabelLine(f"and {len(owners) - len(shown)} more"))
    return tuple(lines)


def _two(lines: list[str]) -> list[str]:
    return lines if len(lines) <= 2 else [lines[0], cut(" ".join(lines[1:]), MOST_WIDTH, DATA)]


def _ends_of_points(context: Context) -> dict[str, list[str]]:
    """Point -> what wires end at there: connectors, boxes, grounds, and devices and parts with terminals of their own."""
    harness: Harness = context.harness
    ends: dict[str, list[str]] = {}
    for name, place in harness.place_of.items():
        inside = name in harness.parts and harness.parts[name].box
        if name not in harness.splices and not inside and not (name in harness.devices and not harness.devices[name].terminals):
            ends.setdefault(place, []).append(name)
    return ends

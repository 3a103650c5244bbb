"""What is written beside the bundle on the harness layout: points with what sits there, segments with their figures.

Takes a Context; gives the labels as ``bundle_labels.py`` does, whose splices and marks of
changes these share. A point has its sum from the trunk's end and everything that sits
at it, connectors in an outline: as wide as their face asks, with round ends where its
cavities stand in a ring, with double ends for a plug and a broken line where the half is
not described. A segment has its length, covering and whatever is said of its way. Findings at a segment, a point or a
splice have their flags below.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..drawing.flag_notes import Flags, broken_flags, draw_flags, flags_width
from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN
from ..model.harness import Connector, Harness, Splice
from ..revision.changes import Thing
from .bundle_labels import DATA, MOST_GONE, PITCH, Label, LabelLine, Labels, compared
from .bundle_layout import Spot
from .bundle_tree import Node, bundle_trees
from .context import Context, SheetKind
from .flags import flags_at
from .layout_tree import splice_sums, sums, zones

MOST_WIDTH, SEGMENT_WIDTH = 48.0, 36.0
"""Of the lines of a label; one id alone may be wider."""
ROOM = 62.0
"""What is wider than this is cut."""
BETWEEN = 2.0
"""Between two things in one line."""
AFTER = 0.9
"""Between an id or its outline and what follows it."""
INSET = 1.4
"""From the ends of an outline to the id in it."""
ROUNDING = 1.0
"""More than that where the ends are round."""
DOUBLE = 0.8
"""Between the two lines at the end of a plug."""
ABOVE, BELOW = 3.15, 0.85
"""From the baseline to the upper and the lower line of an outline; those of two lines of text coincide."""
LEAD = 0.5
"""Between the name of a point, which may reach below its line, and the outlines under it."""
ROW, WIDEST = 1.3, 16.0
"""Width of an outline for each cavity beside another, and the most."""
BROKEN = (1.0, 0.8)


@dataclass(frozen=True, slots=True)
class Outline:
    """How a connector is outlined. ``half`` as in the model; ``least`` the width its face asks for, mm."""

    half: str | None
    is_round: bool
    least: float

    @property
    def inset(self) -> float:
        """From an end to the id in it, mm."""
        return INSET + (DOUBLE if self.half == "plug" else 0.0) + (ROUNDING if self.is_round else 0.0)


@dataclass(frozen=True, slots=True)
class Item:
    """One thing at a point: its id, what follows it (its device, its sheet), where that leads to, an outline for connectors."""

    id: str
    after: str = ""
    target: str = ""
    outline: Outline | None = None

    @property
    def id_width(self) -> float:
        """Of the id with its outline."""
        wide = text_width(self.id, DATA)
        return max(wide + 2 * self.outline.inset, self.outline.least) if self.outline else wide

    @property
    def width(self) -> float:
        return self.id_width + (AFTER + text_width(self.after, DATA) if self.after else 0.0)


@dataclass(frozen=True, slots=True)
class ItemsLine(LabelLine):
    """A line of things; ``text`` what it says."""

    items: tuple[Item, ...] = ()

    @property
    def width(self) -> float:
        return sum(item.width for item in self.items) + BETWEEN * (len(self.items) - 1)

    def draw(self, pen: Pen, x: float, base: float, tag: str) -> None:
        for item in self.items:
            if item.outline:
                _draw_outline(pen, x, base, item.id_width, item.outline, f"connector:{item.id}")
            pen.text(x + (item.id_width / 2 if item.outline else 0.0), base, item.id, DATA, "middle" if item.outline else "start", tag=tag)
            pen.text(x + item.id_width + AFTER, base, item.after, DATA, tag=tag)
            if item.target:
                pen.link(x, base - DATA - 0.6, item.width, PITCH, item.target, tag=tag)
            x += item.width + BETWEEN


@dataclass(frozen=True, slots=True)
class FlagsLine(LabelLine):
    """A line of flags of findings, which are no words."""

    flags: Flags = Flags((), "")

    @property
    def width(self) -> float:
        return flags_width(self.flags)

    def draw(self, pen: Pen, x: float, base: float, tag: str) -> None:
        draw_flags(pen, x, base - DATA / 2, self.flags)


class Told:
    """What one version says of its points and segments."""

    def __init__(self, context: Context) -> None:
        self.context = context
        trees = bundle_trees(context.harness, context.geometry)
        self.sums = sums(trees)
        self.ends = {tree.root for tree in trees}
        self.splice_sums = splice_sums(context.harness, context.geometry, trees, self.sums)
        self.zones = zones(context.harness, trees)
        self.at_point = things_at_points(context.harness)

    def point_lines(self, node: Node, with_things: bool) -> tuple[LabelLine, ...]:
        """Name and sum, then what sits there."""
        name = node[0]
        far = "0, trunk's end" if node in self.ends else self._sum(self.sums.get(node))
        lines = [LabelLine(cut(line, ROOM, DATA, "bold"), "bold", whole=name) for line in wrap(name, MOST_WIDTH, DATA, "bold")]
        if len(lines) == 1 and text_width(f"{name}, {far}", DATA, "bold") <= MOST_WIDTH:
            lines = [LabelLine(f"{name}, {far}", "bold")]
        else:
            lines.append(LabelLine(far))
        return (*lines, *self._items(name)) if with_things else tuple(lines)

    def splice_lines(self, name: str) -> tuple[LabelLine, ...]:
        """Id with its join and its sheet, and the sum."""
        join, sheet = self.context.harness.splices[name].join, self.context.sheet_of.get(name)
        number = f" → {sheet.number}" if sheet else ""
        text = cut(f"{name}, join {join}" if join not in ("", name) else name, ROOM - text_width(number, DATA, "bold"), DATA, "bold")
        return LabelLine(text + number, "bold", sheet.name if sheet else ""), LabelLine(self._sum(self.splice_sums.get(name)))

    def _sum(self, total: float | None) -> str:
        return "sum not known" if total is None else f"sum {self.context.mm(total)}"

    def segment_lines(self, name: str) -> tuple[LabelLine, ...]:
        """Id and length, then covering and what is said of the way."""
        one, context = self.context.harness.segments[name], self.context
        length = "length not known" if one.length_mm is None else context.mm(one.length_mm)
        zone = self.zones.get(name)
        words = [one.covering, *([f"zone {zone}" if zone else "zone not described"] if zone is not None else [])]
        words += [f"grommet {context.mm(one.grommet_mm)}"] if one.grommet_mm is not None else []
        words += [f"near {what}, {context.mm(far.mm)}" for what, far in one.near.items()]
        words += [f"clips {context.mm(one.clips.mm)} apart"] if one.clips else []
        lines = wrap("; ".join(filter(None, words)), SEGMENT_WIDTH, DATA) if any(words) else []
        return (LabelLine(cut(f"{name}: {length}", ROOM, DATA, "bold"), "bold"), *(LabelLine(cut(line, ROOM, DATA), whole="; ".join(filter(None, words))) for line in lines))

    def section_lines(self, name: str, station: str) -> tuple[LabelLine, ...]:
        """Its name, how far from the beginning of its segment it is, and the sheet on which it is drawn; nothing where there is no such station."""
        segment = self.context.harness.segments[name]
        if station not in segment.sections:
            return ()
        sheet = next((one for one in self.context.sheets if one.kind is SheetKind.CROSS_SECTIONS), None)
        number = f" → {sheet.number}" if sheet else ""
        text = cut(f"section {station}, {self.context.mm(segment.sections[station].mm)}", ROOM - text_width(number, DATA, "bold"), DATA, "bold")
        return (LabelLine(text + number, "bold", sheet.name if sheet else ""),)

    def _items(self, point: str) -> Iterator[ItemsLine]:
        """Everything at a point, in lines."""
        line: list[Item] = []
        lead = LEAD
        for item in map(self._item, self.at_point.get(point, ())):
            if line and sum(one.width + BETWEEN for one in line) + item.width > MOST_WIDTH:
                yield _line(line, lead)
                line, lead = [], 0.0
            line.append(item)
        if line:
            yield _line(line, lead)

    def _item(self, name: str) -> Item:
        harness, sheet = self.context.harness, self.context.sheet_of.get(name)
        connector = harness.connectors.get(name)
        after = " ".join(filter(None, (f"of {connector.device}" if connector and connector.device else "", f"→ {sheet.number}" if sheet else "")))
        return Item(cut(name, ROOM - text_width(after, DATA), DATA), after, sheet.name if sheet else "", outline_of(connector) if connector else None)


class LayoutLabels(Labels):
    """The labels of one harness; with a version before, what differs from it."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._now = Told(context)
        self._old = Told(self.since.before) if self.since else None

    def splice(self, splice: Splice, x: float, y: float) -> Label:
        """Id, join, sheet and sum."""
        label = Label(x, y, self._now.splice_lines(splice.id), f"splice:{splice.id}")
        if self._old is not None:
            old = self._before(Thing.SPLICE, splice.id)
            label = compared(label, self._old.splice_lines(old) if old in self._old.splice_sums else ()) if old is not None else replace(label, is_changed=True)
        return self._flagged(label, splice.id)

    def point(self, spot: Spot, is_first: bool) -> Label:
        """Name, sum, and, where it stands for the first time, what sits there and what hung there."""
        label = Label(spot.x, spot.y, self._now.point_lines((spot.point, spot.copy), is_first), f"point:{spot.point}")
        if self._old and is_first:
            old = self._before(Thing.POINT, spot.point)
            node = (old, spot.copy) if old is not None and (old, spot.copy) in self._old.sums else None
            label = compared(label, self._old.point_lines(node, True)) if node else replace(label, is_changed=True)
            gone = tuple(self._gone_at.get(spot.point, ())[:MOST_GONE])
            label = replace(label, was=(*label.was, *gone), is_changed=label.is_changed or bool(gone))
        label = replace(label, lines=(*label.lines, LabelLine(f"continues at {spot.on}"))) if spot.on else label
        return self._flagged(label, f"place {spot.point}") if is_first else label

    def section(self, name: str, station: str, x: float, y: float) -> Label:
        """A named station of a segment."""
        label = Label(x, y, self._now.section_lines(name, station), f"section:{name} {station}")
        if self._old is None:
            return label
        old = self._before(Thing.SEGMENT, name)
        was = self._old.section_lines(old, station) if old is not None else ()
        return compared(label, was) if was else replace(label, is_changed=True)

    def grommet(self, name: str, x: float, y: float) -> Label:
        """Its bore, and that its place on the segment is not known; a change of it stands at its segment."""
        return Label(x, y, (LabelLine(f"grommet {self.context.mm(self.context.harness.segments[name].grommet_mm or 0.0)}"), LabelLine("its place not described")), f"grommet label:{name}")

    def segment(self, name: str, x: float, y: float) -> Label:
        """Its figures."""
        return self._flagged(self._segment(name, x, y), f"segment {name}")

    def _segment(self, name: str, x: float, y: float) -> Label:
        label = Label(x, y, self._now.segment_lines(name), f"segment label:{name}")
        if self._old is None or self.since is None:
            return label
        old = self._before(Thing.SEGMENT, name)
        if old is None:
            return replace(label, is_changed=True)
        label = compared(label, self._old.segment_lines(old))
        was, now = self.since.before.harness.segments[old], self.context.harness.segments[name]
        if {was.from_, was.to} == {now.from_, now.to}:
            return label
        return replace(label, was=(*label.was, cut(f"{was.from_} to {was.to}", ROOM, DATA)), is_changed=True)


    def _flagged(self, label: Label, name: str) -> Label:
        """The label with the flags of the findings at a thing below its lines; their numbers are no difference."""
        flags = flags_at(self.context, (name,))
        return replace(label, lines=(*label.lines, *(FlagsLine("", flags=some) for some in broken_flags(flags, MOST_WIDTH)))) if flags else label


def things_at_points(harness: Harness) -> dict[str, list[str]]:
    """Point -> everything that sits there but splices, which have a dot of their own, and what is found with its box or connectors."""
    found: dict[str, list[str]] = {}
    for name, place in harness.place_of.items():
        inside = name in harness.parts and harness.parts[name].box
        device = harness.devices.get(name)
        with_connectors = device and not device.terminals and any(harness.place_of.get(one) == place for one in device.connectors)
        if name not in harness.splices and not inside and not with_connectors:
            found.setdefault(place, []).append(name)
    return found


def outline_of(connector: Connector) -> Outline:
    """From its face; without one, no wider than its id."""
    face = connector.face
    if face is None or face.shape == "ring":
        return Outline(connector.half, face is not None, 0.0)
    unit = min((abs(a.x - b.x) for a, b in zip(face.spots, face.spots[1:]) if a.x != b.x), default=1.0)
    across = (max(spot.x for spot in face.spots) - min(spot.x for spot in face.spots)) / unit + 1
    return Outline(connector.half, False, min(WIDEST, across * ROW))


def _line(items: Sequence[Item], lead: float) -> ItemsLine:
    return ItemsLine(", ".join(" ".join(filter(None, (item.id, item.after))) for item in items), lead=lead, items=tuple(items))


def _draw_outline(pen: Pen, x: float, base: float, wide: float, outline: Outline, tag: str) -> None:
    top, low, right = base - ABOVE, base + BELOW, x + wide
    dash = BROKEN if outline.half is None else ()
    round_ = (low - top) / 2 if outline.is_round and dash == () else 0.0
    for y in (top, low):
        pen.line(x + round_, y, right - round_, y, THIN, dash=dash, tag=tag)
    for end, way in ((x, 1), (right, -1)):
        if round_:
            pen.arc(end + way * round_, (top + low) / 2, round_, 90 if way > 0 else -90, 270 if way > 0 else 90, THIN, tag=tag)
        else:
            pen.line(end, top, end, low, THIN, dash=dash, tag=tag)
        if outline.half == "plug":
            pen.line(end + way * DOUBLE, top, end + way * DOUBLE, low, THIN, tag=tag)

"""Splices of two wires: a wire that goes on in another.

Takes a Subject; gives the splices where one wire goes on in another, the runs of such wires, and the
wires that are thinner than what feeds them there. Where two wires meet in a splice and no third, the
second is an extension of the first: its faults are told by the rules of extensions, those of a feed that
fans out by the rule of its fuse.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..model.harness import Harness, Part, Wire
from ..network.islands import other_end
from .options import Option

if TYPE_CHECKING:
    from ..network.ways import Reached
    from .subject import Subject

SAME = Option("thinner-after-splice", "same", "share", "85 %",
              "the share of the other's copper from which two wires count as one size, as 0.75 mm2 and 18 AWG do", "common practice")
_BETWEEN = ("wire", "switch", "relay", "diode")
_FEEDS = (*_BETWEEN, "fuse", "fusible link")
_PROTECTS = ("fuse", "fusible link")


@dataclass(frozen=True, slots=True)
class Thinner:
    """A wire thinner than the one that feeds it, and the fuse or link before both."""

    splice: str
    thick: Wire
    thin: Wire
    fuse: Part


@dataclass(frozen=True, slots=True)
class Extended:
    """thinner: wire -> what it is thinner than; behind: these wires, and all that they feed up to the next fuse and that are no thinner."""

    thinner: Mapping[str, Thinner]
    behind: frozenset[str]


def pairs_spliced(harness: Harness) -> dict[str, tuple[Wire, Wire]]:
    """Splice -> the two wires it joins, where it joins two and no member is unknown."""
    found: dict[str, tuple[Wire, Wire]] = {}
    for splice in harness.splices.values():
        wires = harness.wires_at.get(splice.id, ())
        if len(wires) == 2 and wires[0] != wires[1] and not splice.members_unknown:
            found[splice.id] = (harness.wires[wires[0]], harness.wires[wires[1]])
    return found


def runs(harness: Harness) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    """(wires, splices between them) of each wire that is one or more times extended, end to end, in the order of the description."""
    pairs = pairs_spliced(harness)
    seen: set[str] = set()
    for splice in pairs:
        if splice in seen:
            continue
        back, ahead = (_walk(harness, pairs, splice, wire) for wire in pairs[splice])
        splices = (*reversed(back[1]), splice, *(other for other in ahead[1] if other not in back[1] and other != splice))
        seen.update(splices)
        yield tuple(dict.fromkeys((*reversed(back[0]), *ahead[0]))), splices


def thinner_extensions(subject: Subject) -> Extended:
    """Every extension that a fuse feeds from the thicker side; wires of unknown size are passed over."""
    harness, same = subject.harness, subject.value(SAME).value / 100
    candidates = {splice: pair for splice, pair in pairs_spliced(harness).items() if _differ(*pair, same)}
    if not candidates:
        return Extended({}, frozenset())
    reached = _fed(subject)
    found: dict[str, Thinner] = {}
    for splice, (a, b) in candidates.items():
        thick, thin = (a, b) if _area(a) > _area(b) else (b, a)
        if not _came_by(subject, reached, other_end(thin, splice), thin):
            continue
        fuse = next((way.thing for way in reversed(reached.way(subject.ways.point(splice))) if way.kind in _PROTECTS), None)
        if fuse is not None:
            found[thin.id] = Thinner(splice, thick, thin, harness.parts[fuse])
    return Extended(found, _behind(harness, reached, found, same))


def _behind(harness: Harness, reached: Reached, found: Mapping[str, Thinner], same: float) -> frozenset[str]:
    told: set[str] = set(found)
    least: dict[str, float] = {}    # point -> copper of the thinnest extension on its way, behind the last fuse
    for point, step in reached.before.items():
        if step is None or step[0].kind in _PROTECTS:
            continue
        way, before = step
        area = least.get(before)
        if way.kind == "wire":
            wire = harness.wires[way.thing]
            if wire.id in found:
                area = min(_area(wire), area or _area(wire))
            elif area is not None and wire.size is not None and _area(wire) >= same * area:
                told.add(wire.id)
        if area is not None:
            least[point] = area
    return frozenset(told)


def _area(wire: Wire) -> float:
    return wire.size.area_mm2 if wire.size else 0.0


def _differ(a: Wire, b: Wire, same: float) -> bool:
    least, most = sorted((_area(a), _area(b)))
    return 0.0 < least < same * most


def _fed(subject: Subject) -> Reached:
    """What the sources feed, nearest first; what lies behind fuses that no source reaches is fed by the first of these."""
    from ..network.ways import Reached

    ways = subject.ways
    fed = ways.reach_over(ways.plus, _FEEDS)
    loose = [part.id for part in subject.harness.parts.values() if part.kind in _PROTECTS and ways.point(f"{part.id}.1") not in fed]
    inner = ways.reach_over([f"{id}.2" for id in loose], _BETWEEN)
    first = [f"{id}.1" for id in loose if ways.point(f"{id}.1") not in inner]
    behind = ways.reach_over(first, _FEEDS).before if first else {}
    return Reached({**fed.before, **{point: step for point, step in behind.items() if point not in fed}})


def _came_by(subject: Subject, reached: Reached, end: str, wire: Wire) -> bool:
    """Whether the current comes to an end by a wire."""
    point = subject.ways.point(end)
    step = reached.before.get(point)
    return step is not None and step[0].kind == "wire" and step[0].thing == wire.id


def _walk(harness: Harness, pairs: Mapping[str, tuple[Wire, Wire]], splice: str, wire: Wire) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The wires from a splice on, and the splices between them."""
    wires, splices = [wire.id], []
    here = other_end(wire, splice)
    while here in pairs and here != splice:
        splices.append(here)
        a, b = pairs[here]
        wire = b if a is wire else a
        wires.append(wire.id)
        here = other_end(wire, here)
    return tuple(wires), tuple(splices)

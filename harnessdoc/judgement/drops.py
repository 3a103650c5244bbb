"""What is lost on the way to each load and back, against the limits of the trade.

Takes an Operation; gives a Drop for every load that takes current in some state, in the
state in which it takes most, and one for each alternator that gives. Counted are wires, fuses,
contacts and grounds; not what is lost inside devices, nor in diodes and resistors that are put
in on purpose. Where the path passes the posts of the battery it is measured from there, as with a
meter. Limits: ``trade/drop_limits.py``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile
from math import fsum

from ..findings import Severity
from ..model import electric as said
from ..model.given import alternator_given, nominal_v
from ..operation.catalogue import COIL, CONTACT, DIODE, FUSE, GROUND, LINK, LOAD, OUTPUT, RESISTOR, WIRE
from ..operation.operate import Operation, Solved
from ..operation.supplies import elements_of
from ..operation.wiring import LoadPoint
from ..operation.words import amps_shown
from ..trade.drop_limits import DropLimit, drop_limit
from ..trade.tables import factors
from ..trade.tables import said as told
from .fed import fed_in
from .flow import NO_CURRENT_A
from .path import Path, Step, path_of
from .verdict import Verdict, fails, holds, not_judged
from .wires import peaks

COUNTED = (WIRE, FUSE, LINK, CONTACT, GROUND)
_LAMPS = ("lamp", "lamp-small")
_SMALL_LAMP_W = 15.0
"""Where the limits for lamps change: ``data/drop_limits.csv``."""


@dataclass(frozen=True, slots=True)
class Drop:
    """What is lost at one load.

    load:      id of the LoadPoint, or of the alternator; title: in words
    state:     in which it takes most; current_a: what it takes, or the alternator gives
    feed_v:    from ``feed_from`` to it; return_v: from it to ``return_to``: addresses, or ids of sources
    not_counted: what lies on the path and is not counted, in words: (thing, V)
    limits:    by which it is judged; none for what a control unit feeds, or what is in series with another load
    path:      None for an alternator
    feed, back: what of the path lies between the posts of the battery and the load, both ways; of an alternator the way from its output to the battery,
               and from its case to the body
    """

    load: str
    title: str
    state: str
    current_a: float
    feed_v: float
    return_v: float
    feed_from: str
    return_to: str
    not_counted: tuple[tuple[str, float], ...]
    limits: tuple[DropLimit, ...]
    verdicts: tuple[Verdict, ...]
    path: Path | None
    feed: tuple[Step, ...]
    back: tuple[Step, ...]

    @property
    def total_v(self) -> float:
        return self.feed_v + self.return_v

    def held_against(self, verdict: Verdict) -> tuple[tuple[Step, ...], float]:
        """What loses the volts that a verdict is about, of what is counted, and how many it may lose; for a verdict that was given."""
        steps = {"feed": _line_of(self.feed) if any(limit.kind in _LAMPS for limit in self.limits) else self.feed, "return": self.back}.get(verdict.about, (*self.feed, *self.back))
        most = {"feed": "feed_v", "return": "return_v", "feed and return": "total_v"}[verdict.about]
        return tuple(step for step in steps if step.kind in COUNTED), next(volts for limit in self.limits if (volts := getattr(limit, most)) is not None)


def drops(operation: Operation) -> tuple[Drop, ...]:
    """One for each load that takes current in some state, in the order of the description; then the alternators."""
    found = [_of_load(operation, load) for load in operation.wiring.loads]
    return (*filter(None, found), *_of_alternators(operation))


def limit_kinds(operation: Operation, load: LoadPoint) -> tuple[str, ...]:
    """The kinds of limit that hold for a load: ``continuous`` for what is no lamp and no starter."""
    loads = operation.wiring.harness.devices[load.owner].loads
    name = load.id.removeprefix(load.owner).strip()
    if load.kind == "motor" and name in loads and loads[name].closed_by:
        return "starter-main", "starter-return"
    if load.kind == "solenoid" and any(other.closed_by == name for other in loads.values()):
        return ("starter-control",)
    if load.kind == "lamp":
        device = operation.wiring.harness.devices[load.owner]
        rated = loads[name].load if name in loads else device.load
        watts = rated.rating.watts if rated and rated.rating else None
        return ("lamp-small" if watts is not None and watts < _SMALL_LAMP_W else "lamp",)
    return "continuous", "ground"


def _of_load(operation: Operation, load: LoadPoint) -> Drop | None:
    solved = _most(operation, load.element)
    path = path_of(operation, solved, load) if solved else None
    if solved is None or path is None:
        return None
    nodes = operation.wiring.nodes
    begin = next((number for number, step in enumerate(path.feed) if step.from_node == nodes.plus), 0)
    end = next((number for number, step in enumerate(path.back, 1) if step.to_node == nodes.reference), len(path.back))
    feed, back = path.feed[begin:], path.back[:end]
    feed_v, return_v = _counted(feed), _counted(back)
    posts = _posts(operation)
    beside = tuple((step.words, step.drop_v) for step in (*feed, *back) if step.kind not in COUNTED)
    limits, verdicts = _judged(operation, load, path, feed, feed_v, return_v)
    return Drop(load.id, load.title or load.id, path.state, path.across.current_a, feed_v, return_v, posts[0] if feed and feed[0].from_node == nodes.plus else path.source,
                posts[1] if back and back[-1].to_node == nodes.reference else path.source, beside, limits, verdicts, path, feed, back)


def _posts(operation: Operation) -> tuple[str, str]:
    """The addresses of plus and minus of the battery, or of what stands in for it."""
    nodes = operation.wiring.nodes
    for id in operation.wiring.harness.supplies:
        between = operation.wiring.harness.devices[id].between
        if between and (nodes.of.get(between[0]), nodes.of.get(between[1])) == (nodes.plus, nodes.reference):
            return between
    return nodes.plus, nodes.reference


def _most(operation: Operation, element: str) -> Solved | None:
    """The state in which most flows through an element; None where nothing ever does."""
    there = [peak for peak in peaks(operation, element) if peak is not None and peak.current_a > NO_CURRENT_A]
    return operation.solved[max(there, key=lambda peak: peak.current_a).state] if there else None


def _counted(steps: Sequence[Step]) -> float:
    return fsum(step.drop_v for step in steps if step.kind in COUNTED)


def _judged(operation: Operation, load: LoadPoint, path: Path, feed: Sequence[Step], feed_v: float, return_v: float,
            ) -> tuple[tuple[DropLimit, ...], tuple[Verdict, ...]]:
    harness = operation.wiring.harness
    if path.source not in {id for supply in harness.supplies for id in elements_of(harness.devices[supply])}:
        return (), (not_judged("feed and return", f"fed by {path.source}: the limits are those of a battery's supply"),)
    others = [step.words for step in (*path.feed, *path.back) if step.kind in (LOAD, COIL)]
    if others:
        return (), (not_judged("feed and return", f"in series with {' and '.join(others)}: what it gets is shared, not lost"),)
    supply_v = nominal_v(harness)
    # What is switched on its ground side returns over a contact or an output: the tenth of a volt is for a ground alone.
    is_switched = any(step.kind in (CONTACT, OUTPUT) for step in path.back)
    limits = tuple(drop_limit(kind, supply_v) for kind in limit_kinds(operation, load) if not (kind == "ground" and is_switched))
    at = f"at {amps_shown(path.across.current_a)} ({path.state})"
    verdicts: list[Verdict] = []
    for limit in limits:
        if limit.feed_v is not None:
            line, line_v = ("", feed_v) if load.kind != "lamp" else _line(feed)
            verdicts.append(_against("feed", f"feed {line}", line_v, limit.feed_v, at, limit))
        if limit.return_v is not None:
            verdicts.append(_against("return", "return ", return_v, limit.return_v, at, limit))
        if limit.total_v is not None:
            beside = "".join(f"; {step.words} not counted" for step in (*path.feed, *path.back) if step.kind in (DIODE, RESISTOR))
            verdicts.append(_against("feed and return", f"feed {feed_v:.2f} V and return {return_v:.2f} V, ", feed_v + return_v, limit.total_v, at + beside, limit))
    return limits, tuple(verdicts)


def _line(feed: Sequence[Step]) -> tuple[str, float]:
    """What the limits for lamps call the line: the wire from the last switch, relay or fuse to the lamp."""
    line = _line_of(feed)
    return (f"from {feed[-len(line) - 1].words} " if len(line) < len(feed) else ""), _counted(line)


def _line_of(feed: Sequence[Step]) -> tuple[Step, ...]:
    last = max((number for number, step in enumerate(feed) if step.kind in (CONTACT, FUSE, LINK)), default=-1)
    return tuple(feed[last + 1:])


def _against(about: str, what: str, volts: float, most_v: float, at: str, limit: DropLimit) -> Verdict:
    words = f"{what}{volts:.2f} V {at}, at most {most_v:g} V for {limit.words} ({told(limit.origin, limit.mark)})"
    if volts <= most_v:
        return holds(about, words)
    # A tenth of a volt over a ground is where a technician looks closer, not where a load fails.
    is_far = about != "return" and volts > most_v * factors()["drop-far-beyond"].value
    return fails(about, Severity.MALFUNCTION if is_far else Severity.ADVICE, words)


def _of_alternators(operation: Operation) -> Iterator[Drop]:
    """Main output to battery plus, and case to body, in the state in which it gives most."""
    wiring = operation.wiring
    supply_v = nominal_v(wiring.harness)
    for id in wiring.harness.supplies:
        device = wiring.harness.devices[id]
        element = f"alternator {id}"
        solved = _most(operation, element) if isinstance(device.supply, said.Alternator) else None
        if solved is None or solved.solution is None or device.between is None or not isinstance(device.supply, said.Alternator):
            continue
        volts, (plus, minus) = solved.solution.voltages, (wiring.nodes.of[end] for end in device.between)
        body, fed = wiring.nodes.metal("body"), fed_in(operation, solved)
        if wiring.nodes.plus not in volts or wiring.nodes.plus == plus:
            continue
        amps = -solved.solution.currents[element]
        given = alternator_given(device.supply, supply_v)
        feed_v, return_v = volts[plus] - volts[wiring.nodes.plus], volts.get(body, 0.0) - volts[minus]
        at = f"at {amps_shown(amps)} ({solved.case.name})"
        full = f"; at its limit of {amps_shown(given.limit_a.value)} in proportion {feed_v * given.limit_a.value / amps:.2f} V" if given.limit_a else ""
        main, case = drop_limit("alternator-main", supply_v), drop_limit("case-to-body", supply_v)
        assert main.feed_v is not None and case.return_v is not None
        verdicts = [_against("feed", "main output to battery plus ", feed_v, main.feed_v, at + full, main) if feed_v >= 0 else
                    not_judged("feed", f"it gives less than what hangs on its own output takes: current comes from the battery, {-feed_v:.2f} V {at}")]
        if body in volts:
            verdicts.append(_against("return", "body to its case ", return_v, case.return_v, at, case))
        yield Drop(id, device.title or id, solved.case.name, amps, feed_v, return_v, device.between[0], device.between[1], (), (main, case), tuple(verdicts), None, fed.to_plus(plus), tuple(takewhile(lambda step: step.from_node != body, fed.back(minus))))

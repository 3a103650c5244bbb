"""Whether wires reach where they lead now, and how long what is cut off is.

Takes: a Merge and the merged harness, measured. Gives: a Fit for every wire that stays whole and for every stub, and
the length of every far half. A wire fitted its way as found; it is short by what its way has grown since,
and long by what it has shrunk. Where its way as found is not known, its length is compared with the new way
and its allowances.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from ..geometry.measure import Geometry
from ..model.harness import Harness
from .plan import Fate, Merge

NEARLY_MM = 10.0
"""A difference that the ends of a wire bear. Design choice."""
FOLD_MM = 100.0
"""From here on a wire is called long: less is laid in with the bundle. Design choice."""


class Verdict(Enum):
    """Whether a wire reaches; the value is the word on the sheets."""

    FITS = "fits"
    SHORT = "short"
    LONG = "long"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Fit:
    """One wire, or the stub of one, against the way it leads now.

    wire: by its id in the merge; join: at which a stub ends, "" for a wire that is whole
    found_mm, needed_mm: None where unknown; over_mm: found less needed
    where: of what is short the place to extend it, of what is long the place to fold it back
    """

    wire: str
    join: str
    found_mm: float | None
    needed_mm: float | None
    over_mm: float | None
    verdict: Verdict
    where: str

    @property
    def words(self) -> str:
        """``short by 120 mm: extend at J4``."""
        match self.verdict:
            case Verdict.SHORT:
                return f"short by {-self.over_mm:.0f} mm: extend at {self.where}"
            case Verdict.LONG:
                return f"long by {self.over_mm:.0f} mm: fold back at {self.where}"
        return self.verdict.value


def fits(merge: Merge, harness: Harness, geometry: Geometry) -> tuple[Fit, ...]:
    """Every wire of the sources that stays whole, in their order, then every stub by join."""
    return (*_whole(merge, harness, geometry), *_stubs(merge, harness, geometry))


def far_mm(merge: Merge, geometry: Geometry, far_half: str) -> float | None:
    """The length of a far half: the wire as found, less its stubs; None where one is not known."""
    half = merge.far_halves[far_half]
    wire, source = half.wire, merge.source_of(half.wire)
    found = source.harness.wires[wire.partition("/")[2]]
    left = source.geometry.lengths[found.id].finished_mm
    for join in merge.joins.values():
        for end in join.ends:
            if end.wire != wire or left is None:
                continue
            # cut at both ends, its other stub has an id of its own
            stub = geometry.lengths.get(f"{wire}-to" if len(half.joins) == 2 and end.address == source.id(found.to) else wire)
            of_end = end.stub.mm if end.stub is not None else stub.finished_mm if stub is not None else None
            left = None if of_end is None else left - of_end
    return None if left is None else max(left, 0.0)


def _whole(merge: Merge, harness: Harness, geometry: Geometry) -> Iterator[Fit]:
    for decision in merge.decisions.values():
        if decision.fate not in (Fate.KEPT, Fate.UNDECIDED) or decision.wire not in harness.wires:
            continue
        before = merge.sources[decision.source].geometry.lengths[decision.wire.partition("/")[2]]
        now = geometry.lengths[decision.wire]
        if before.zero or now.zero:
            continue
        found, needed = before.finished_mm, now.computed_mm
        if found is not None and needed is not None and before.computed_mm is not None:
            needed = found + needed - before.computed_mm
        yield _judged(decision.wire, "", found, needed, _ends(harness, decision.wire))


def _stubs(merge: Merge, harness: Harness, geometry: Geometry) -> Iterator[Fit]:
    for join in merge.joins.values():
        for end in join.ends:
            stub = stub_of(harness, end.wire, end.lands)
            if not stub or not end.cut:
                continue
            source = merge.sources[end.source]
            whole = source.geometry.lengths[end.wire.partition("/")[2]]
            found = end.stub.mm if end.stub is not None else whole.finished_mm
            needed = geometry.lengths[stub].computed_mm
            if end.stub is None and needed is not None and whole.measured_mm is not None and whole.computed_mm and whole.measured_mm < whole.computed_mm:
                needed *= whole.measured_mm / whole.computed_mm     # it lay straighter than the bundle
            fit = _judged(end.wire, join.id, found, needed, join.id)
            # what is longer than its way is cut there, unless it was measured as cut
            yield fit if fit.verdict is not Verdict.LONG or end.stub is not None else Fit(end.wire, join.id, found, needed, fit.over_mm, Verdict.FITS, "")


def stub_of(harness: Harness, wire: str, lands: str) -> str:
    """The wire of the merge that is the stub of a wire: it ends where the join's end lands; "" where there is none."""
    return next((id for id in (wire, f"{wire}-to") if id in harness.wires and lands in (harness.wires[id].from_, harness.wires[id].to)), "") if wire else ""


def _judged(wire: str, join: str, found: float | None, needed: float | None, where: str) -> Fit:
    if found is None or needed is None:
        return Fit(wire, join, found, needed, None, Verdict.UNKNOWN, "")
    over = found - needed
    verdict = Verdict.SHORT if over < -NEARLY_MM else Verdict.LONG if over > FOLD_MM else Verdict.FITS
    return Fit(wire, join, found, needed, over, verdict, "" if verdict is Verdict.FITS else where)


def _ends(harness: Harness, wire: str) -> str:
    """The end at which a wire is handled: the one in the cabin, where one is; else its last."""
    ends = [end for end in (harness.wires[wire].from_, harness.wires[wire].to) if end in harness.contacts]
    for end in ends:
        point = harness.points.get(harness.place_of.get(harness.contacts[end].owner, ""))
        if point is not None and point.zone == "cabin":
            return end
    return ends[-1] if ends else ""

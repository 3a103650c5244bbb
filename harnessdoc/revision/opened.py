"""Coverings that are opened for the work, and closed behind it.

Takes a Comparison and the Work; gives the segments of either version, in their order.
"""

from __future__ import annotations

from ..description.units import Length, print_length
from ..geometry.cut_list import fitted
from ..geometry.graph import Route
from ..model.harness import Segment
from .changes import Thing
from .compare import Comparison
from .jobs import Work
from .pairing import Pairing


def segments_of(route: Route | None) -> tuple[str, ...]:
    """The segments of a way in their order, each once."""
    return tuple(dict.fromkeys(step.segment for step in route.steps)) if route else ()


def led(route: Route | None, pairing: Pairing) -> set[str | None]:
    """The segments of an old way in the new version; None for those gone."""
    return {pairing.now(Thing.SEGMENT, name) for name in segments_of(route)}


def opened_before(comparison: Comparison, work: Work) -> tuple[Segment, ...]:
    """Covered segments of the old version through which wires go, come or are led another way, or where a splice is opened or made."""
    old, new, pairing = comparison.old, comparison.new, comparison.pairing
    opened: set[str | None] = set()
    for job in work.wires:
        was = set(segments_of(old.geometry.lengths[job.old.id].route)) if job.old else set()
        now = {pairing.before(Thing.SEGMENT, name) for name in segments_of(new.geometry.lengths[job.new.id].route)} if job.new else set()
        opened |= was | now if job.is_cut or job.new is None else was ^ now
    for splice in work.splices:
        if splice.old:
            opened.add(old.geometry.stations[splice.old.id].segment)
        segment = new.geometry.stations[splice.new.id].segment if splice.new else None
        if segment:
            opened.add(pairing.before(Thing.SEGMENT, segment))
    return tuple(segment for name, segment in old.harness.segments.items() if name in opened and (fitted(segment.covering) or segment.grommet_mm))


def closed_after(comparison: Comparison, work: Work) -> tuple[Segment, ...]:
    """The covered segments of the new version that were opened; those whose covering is new come of themselves."""
    fresh = {change.id for change in comparison.changes if change.thing is Thing.SEGMENT and (change.key == "covering" or (change.kind.value == "added" and change.key == ""))}
    opened = {comparison.pairing.now(Thing.SEGMENT, segment.id) for segment in opened_before(comparison, work)}
    return tuple(segment for name, segment in comparison.new.harness.segments.items() if name in opened and name not in fresh and (fitted(segment.covering) or segment.grommet_mm))


def covering_words(segment: Segment, units: str) -> str:
    """``T4 (rubber tube, grommet 30 mm)``."""
    grommet = f"grommet {print_length(Length(segment.grommet_mm), units)}" if segment.grommet_mm else ""
    return f"{segment.id} ({', '.join(filter(None, (fitted(segment.covering), grommet)))})"

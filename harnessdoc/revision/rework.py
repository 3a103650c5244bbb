"""The rework: what hands do to bring the harness from the old version to the new, in their order.

Takes a Comparison; gives steps in phases. It holds for a harness that is still as the
old version says: what comes out is called as there, what goes in as in the new one.
Within a phase owners stand as the new version describes them, their cavities counted
up. Circuits with airbag contacts get a step that says to leave them alone, and no test.
What only became known, text and use need no step but for labels that read otherwise, and
a far end that was found the test that shows it.
"""

from __future__ import annotations

from dataclasses import dataclass

from . import steps_around as around
from .compare import Comparison
from .fitting import comes_off
from .fitting import fittings as find_fittings
from .proofs import find_proofs
from .steps import Phase, Step, bench_order
from .steps_cut import cut_steps
from .steps_wires import wire_steps
from .work import find_work

_AS_MADE = (Phase.CUT, Phase.TEST)
"""Phases whose steps stand as they were made: splices before wires; what rings before what must not."""


@dataclass(frozen=True, slots=True)
class Rework:
    """``steps`` in order; () where nothing is to be done by hand."""

    steps: tuple[Step, ...]


def rework(comparison: Comparison, units: str = "mm") -> Rework:
    """The steps from the old version to the new. units: "mm" or "in", in which lengths are printed."""
    work = find_work(comparison)
    proofs = find_proofs(comparison, work)
    order = bench_order(comparison)
    fittings = tuple(find_fittings(comparison, work, units))
    at_wires = [*cut_steps(comparison, work, proofs, units), *wire_steps(comparison, work, proofs)]
    steps = [*around.left_alone(work), *at_wires, *around.fit(comparison, fittings), *around.labels(comparison, work)]
    if at_wires or proofs.rings or any(not fitting.is_look for fitting in fittings) or any(comes_off(comparison, change) for change in comparison.changes):
        out = around.find_unplugged(comparison, work, at_wires, proofs)
        steps += [around.battery_off(), *around.unplug(comparison, work, out), *around.tests(proofs), *around.plug_in(comparison, work, out, fittings), around.battery_on(comparison, work)]
    told: list[Step] = []
    for phase in Phase:
        of_phase = [step for step in steps if step.phase is phase]
        told += of_phase if phase in _AS_MADE else sorted(of_phase, key=lambda step: order(step.at))
    return Rework(tuple(told))

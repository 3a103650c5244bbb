"""A pull-in winding that stays energised.

What it checks: in every state that lasts (not while the engine is cranked, and with no push-button held): each solenoid of which
`at-most:` is stated, and each winding on a `stop-solenoid` pin that takes more than 10 A, whether current flows in it.

Why it matters: the pull-in winding of a fuel stop solenoid takes 30 A and is made for two seconds; a timer or a limit switch on the
old vehicle took it off. Held, it burns out within a minute, and then the engine does not stop, or does not start.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15, 50], closes: {run: [[S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]}}
      Y1: {title: stop solenoid, terminals: [1, 2], between: [Y1.1, Y1.2], solenoid: {winding: 1 ohm, at-most: 2 s}}  # here
    fuses:
      F1: {rating: 20 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 4 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: S1.15, to: Y1.1, size: 4 mm2, colour: WH, type: TXL, length: 300 mm}
      4: {from: Y1.2, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 300 mm}

What it says:

    stop solenoid Y1 may be energised for 2 s at most, and 12.2 A flow in it in state 'run, stopped' and 1 more, for
    as long as that lasts

The fix: Feed the pull-in winding from what is live in start alone, or by its timer; the hold winding stays on the switched supply.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15, 50], closes: {run: [[S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]}}
      Y1: {title: stop solenoid, terminals: [1, 2], between: [Y1.1, Y1.2], solenoid: {winding: 1 ohm, at-most: 2 s}}
    fuses:
      F1: {rating: 20 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 4 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: S1.50, to: Y1.1, size: 4 mm2, colour: WH, type: TXL, length: 300 mm}
      4: {from: Y1.2, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 300 mm}

Limits and source: pull-in 30 to 40 A, hold about 1 A, one to two seconds: makers' sheets; the 10 A is common practice. A timer is not solved: write
the output of its unit as `commanded: start`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..options import Option

if TYPE_CHECKING:
    from ...model.electric import Load
    from ...operation.wiring import LoadPoint
    from ..subject import Subject

CODE = "pull-in-winding-held"
SEVERITY = Severity.HAZARD
ASKS = "solved"
MODES = (16,)
LEAST = Option(CODE, "least", "current", "10 A", "from where a winding of a stop solenoid is taken for its pull-in winding", "common practice")
OPTIONS = (LEAST,)
_IS_ON = 0.1
"""Share of what its winding takes at the nominal supply from which it is energised: less comes through other windings. Design choice."""


def check(subject: Subject) -> Iterator[Finding]:
    operation = subject.operation
    if operation is None:
        return
    from ...model.electric import Engine
    from ...model.given import nominal_v
    from ...operation.words import amps_shown, in_states

    windings = [(point, load) for point in operation.wiring.loads if point.element and not point.pulsed and (load := _winding(subject, point)) is not None]
    lasting = [solved for solved in operation.solved.values() if solved.solution is not None and solved.case.engine is not Engine.CRANKING and not solved.case.is_held]
    for point, load in windings:
        assert load.rating is not None
        least = _IS_ON * nominal_v(subject.harness) / load.rating.ohm
        amps = {solved.case.name: round(abs(solved.solution.currents.get(point.element, 0.0)), 6) for solved in lasting if solved.solution is not None}
        states = sorted((name for name, flows in amps.items() if flows > least), key=lambda name: -amps[name])
        if not states:
            continue
        device = subject.harness.devices[point.owner]
        name = point.id.removeprefix(point.owner).strip()
        what = f"{name} of {device.title} {device.id}" if name else f"{device.title} {device.id}"
        bears = f"may be energised for {load.at_most.stated} at most" if load.at_most else "is a pull-in winding, made for seconds"
        source = operation.wiring.catalogue[point.element].source
        yield Finding(CODE, SEVERITY, f"{what.strip()} {bears}, and {amps_shown(amps[states[0]])} flow in it {in_states(states)}, for as long as that lasts",
                      source.place_of(load.kind), f"feed {point.a} {_from_start(subject)}, or by the timer it had",
                      at=tuple(dict.fromkeys((point.owner, point.a))), state=states[0], value=amps_shown(amps[states[0]]), limit=load.at_most.stated if load.at_most else "seconds",
                      origin="stated" if load.at_most else "makers' sheets")


def _winding(subject: Subject, point: LoadPoint) -> Load | None:
    from ...model.given import nominal_v

    device = subject.harness.devices.get(point.owner)
    if device is None or point.kind == "draws":
        return None
    name = point.id.removeprefix(point.owner).strip()
    load = device.loads[name].load if name in device.loads else device.load
    if load is None or load.rating is None:
        return None
    if load.at_most is not None:
        return load
    signals = {subject.harness.contacts[end].signal for end in (point.a, point.b) if end in subject.harness.contacts}
    takes_a = nominal_v(subject.harness) / load.rating.ohm
    return load if "stop-solenoid" in signals and takes_a > subject.value(LEAST).value else None


def _from_start(subject: Subject) -> str:
    """``from S1.50, which is live in start alone``."""
    key = subject.harness.devices.get(subject.harness.key_switch or "")
    in_start = key.closes.get("start", ()) if key else ()
    others = {end for position, pairs in (key.closes.items() if key else ()) if position != "start" for pair in pairs for end in pair}
    contact = next((end for pair in in_start for end in pair if end not in others), "")
    return f"from {contact}, which is live in start alone" if contact else "from what is live in start alone"

"""States walked in driving order: relays pull in, hold, latch, chatter.

A relay remembers: between release and pull-in voltage it stays as the state before
left it. So states are solved one after another, in the order in which a driver makes
them, and a relay that holds itself in after the switch opens is found.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from .circuit import Circuit, Fault, RelayStates, Solution, Unsolved
from .solve import solve


def solve_states(states: Iterable[tuple[str, Circuit]]) -> dict[str, Solution | Unsolved]:
    """State name -> its solution, in the order given. All relays begin dropped out.

    states: (name, circuit with the switches of that state closed), in driving order
    """
    results: dict[str, Solution | Unsolved] = {}
    memory: RelayStates = {}
    for name, circuit in states:
        result = settle(circuit, memory)
        results[name] = result
        if isinstance(result, Solution):
            memory = {**memory, **result.relay_states}
    return results


def settle(circuit: Circuit, memory: RelayStates, start: Mapping[str, float] | None = None) -> Solution | Unsolved:
    """The solution in which every relay agrees with its coil, from the states in ``memory``; ``start`` as of ``solve``.

    Relays that want to change change together. Where that comes back to a state it
    has left, they are tried one at a time, in the order of the circuit: if that does
    not settle either, they chatter; if it does, the faster relay decides, and no
    calculation can say which that is.
    """
    together = _settle(circuit, memory, start, one_at_a_time=False)
    if not isinstance(together, tuple):
        return together
    single = _settle(circuit, memory, start, one_at_a_time=True)
    named = ", ".join(together)
    if isinstance(single, tuple):
        return Unsolved((Fault("relay-chatters", f"{named}: pulls in, and by that loses its coil voltage, over and over", together),))
    return Unsolved((Fault("relay-race", f"{named}: which of them stays in depends on which is faster", together),))


def _settle(circuit: Circuit, memory: RelayStates, start: Mapping[str, float] | None, one_at_a_time: bool) -> Solution | Unsolved | tuple[str, ...]:
    """A solution at rest, or the ids of the relays that change for ever."""
    states = {relay.id: memory.get(relay.id, False) for relay in circuit.relays}
    history = [states]
    while True:
        result = solve(circuit, states, start)
        if isinstance(result, Unsolved):
            return result
        wanted = _wanted(circuit, result)
        changing = [relay for relay in states if wanted[relay] != states[relay]]
        if not changing:
            return result
        states = {**states, **{relay: wanted[relay] for relay in (changing[:1] if one_at_a_time else changing)}}
        if states in history:
            loop = history[history.index(states):]
            return tuple(relay for relay in states if any(other[relay] != states[relay] for other in loop))
        history.append(states)


def _wanted(circuit: Circuit, solution: Solution) -> dict[str, bool]:
    """Relay id -> pulled in, as the coil voltages of ``solution`` ask for."""
    wanted = {}
    for relay in circuit.relays:
        volts = abs(solution.across(relay.start, relay.end))
        wanted[relay.id] = volts > relay.release_v if solution.relay_states[relay.id] else volts >= relay.pull_in_v
    return wanted

"""The states a driver makes, in driving order, and those that single switches make of them.

Takes a harness and its network; gives Cases. All begin with every switch at rest:

    key off, accessory, run while the engine stands; start while it is cranked; run while
    it runs; then the key back to accessory and to off while it still turns

then, from key off and from run while the engine stands, each single switch in each of its
other positions, and each pair of switches that share an island of copper other than the
battery, feed bars and grounds; while the engine runs, each switch that its oil pressure
moves, in its other position; then the states that the user names.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations

from ..model.build_states import key_switches
from ..model.electric import Engine
from ..model.electric_words import KEY_OFF, KEY_POSITIONS
from ..model.harness import Device, Harness, Kind
from ..network.islands import Network
from .nodes import Nodes

OPEN_POSITION = "open"
"""The position of a switch in which it closes nothing."""


UNTIL_IT_RUNS = ("low pressure", "no pressure")
"""Positions of rest in which a switch is while the engine stands, and leaves as its oil gets pressure. Common practice."""


@dataclass(frozen=True, slots=True)
class Case:
    """A state to be solved.

    name:     ``run, stopped``; of a named state its name
    switches: switch -> position, of those that are not at rest
    after:    the name of the case before it in driving order; "" of the first
    named:    by the user
    """

    name: str
    key: str
    engine: Engine
    switches: Mapping[str, str] = field(default_factory=dict)
    commanded: tuple[str, ...] = ()
    after: str = ""
    named: bool = False

    @property
    def is_held(self) -> bool:
        """Visited only because a switch is in another position than at rest."""
        return bool(self.switches) and not self.named

    @property
    def words(self) -> str:
        """``key run, engine stopped, S2 pressed``."""
        return self.with_held(f"{switch} {position}" for switch, position in self.switches.items())

    def with_held(self, held: Iterable[str]) -> str:
        """The same with other words for the switches."""
        on = [f"{' and '.join(self.commanded)} on"] if self.commanded else []
        return ", ".join((f"key {self.key}", f"engine {self.engine.value}", *held, *on))


def case_in_words(harness: Harness, case: Case) -> str:
    """``key start, engine cranking, clutch pedal switch S3 pressed``."""
    return case.with_held(held_in_words(harness, case))


def held_in_words(harness: Harness, case: Case) -> Iterator[str]:
    """``clutch pedal switch S3 pressed``: the switches that are held besides the key."""
    return (f"{harness.devices[id].title} {id} {position}".strip() for id, position in case.switches.items())


def default_cases(harness: Harness, network: Network, nodes: Nodes) -> tuple[Case, ...]:
    """Every state that is visited, in the order in which it is solved."""
    drive = tuple(_drive(harness))
    named_of = {(case.key, case.engine): case.name for case in reversed(drive)}
    held = []
    for case in drive:
        if case.engine is Engine.STOPPED and case.key in (KEY_OFF, "run"):
            held += [_held(case, switches) for switches in _held_switches(harness, network, nodes)]
        elif case.engine is Engine.RUNNING:
            held += [_held(case, {id: position}) for id, device in switches_of(harness).items() if rest_of(device) in UNTIL_IT_RUNS for position in _other_positions(device)]
    named = tuple(Case(name, state.key, state.engine, state.switches, state.commanded, named_of.get((state.key, state.engine), drive[0].name), True)
                  for name, state in harness.states.items())
    return (*drive, *held, *named)


def name_of(key: str, engine: Engine, switches: Mapping[str, str] | None = None) -> str:
    """The name of a state that nobody named."""
    return ", ".join((key, engine.value, *(f"{switch} {position}" for switch, position in (switches or {}).items())))


def positions(switch: Device) -> tuple[str, ...]:
    """Every position a switch has: those it names, and open where it can be that."""
    named = tuple(switch.closes)
    return named if OPEN_POSITION in named or (switch.rest is not None and len(named) > 1) else (*named, OPEN_POSITION)


def rest_of(switch: Device) -> str:
    """The position a switch is in by itself."""
    return switch.rest if switch.rest is not None else OPEN_POSITION


def switches_of(harness: Harness) -> dict[str, Device]:
    """The hand and foot switches: what closes, but for the key switch."""
    keys = {device.id for device in key_switches(harness.devices)}
    return {id: device for id, device in harness.devices.items() if device.closes and id not in keys}


def _drive(harness: Harness) -> Iterator[Case]:
    has = {KEY_OFF, *(position for device in key_switches(harness.devices) for position in KEY_POSITIONS if position in device.closes)}
    order = ((KEY_OFF, Engine.STOPPED), ("accessory", Engine.STOPPED), ("run", Engine.STOPPED), ("start", Engine.CRANKING),
             ("run", Engine.RUNNING), ("accessory", Engine.RUNNING), (KEY_OFF, Engine.RUNNING))
    before = ""
    for key, engine in order:
        if key in has:
            case = Case(name_of(key, engine), key, engine, after=before)
            before = case.name
            yield case


def _held(base: Case, switches: Mapping[str, str]) -> Case:
    return Case(name_of(base.key, base.engine, switches), base.key, base.engine, switches, after=base.name)


def _held_switches(harness: Harness, network: Network, nodes: Nodes) -> Iterator[Mapping[str, str]]:
    switches = switches_of(harness)
    for id, device in switches.items():
        for position in _other_positions(device):
            yield {id: position}
    feeding = _feeding(harness, network, nodes)
    islands = {id: {network.island_of[address] for pairs in device.closes.values() for pair in pairs for address in pair if address in network.island_of} - feeding
               for id, device in switches.items()}
    # Two switches meet through a third as well, where that is closed at rest.
    at_rest = {id: {network.island_of[address] for pair in device.closes.get(rest_of(device), ()) for address in pair if address in network.island_of} - feeding
               for id, device in switches.items()}
    islands = {id: own.union(*(closed for other, closed in at_rest.items() if other != id and closed & own)) for id, own in islands.items()}
    for a, b in combinations(switches, 2):
        if islands[a] & islands[b]:
            for first in _other_positions(switches[a]):
                for second in _other_positions(switches[b]):
                    yield {a: first, b: second}


def _other_positions(switch: Device) -> tuple[str, ...]:
    return tuple(position for position in positions(switch) if position != rest_of(switch))


def _feeding(harness: Harness, network: Network, nodes: Nodes) -> set[int]:
    """The islands of the battery, of feed bars and of grounds: what meets there does not meet through a switch."""
    joined = {network.island_of[address] for address, node in nodes.of.items() if node in (nodes.plus, nodes.reference)}
    return joined | {network.island_of[address] for address, contact in harness.contacts.items() if contact.kind in (Kind.BAR, Kind.GROUND)}

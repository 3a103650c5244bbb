"""Which state of the circuit is meant: the options that say it, and what they say wrongly.

Takes what stands on the command line and a loaded description; gives the solved state. A
state is begun from the one that is named, else from key run, engine stopped; every other
option changes one thing of it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NoReturn

import click

from .common import leave, stop

if TYPE_CHECKING:
    from ..model.electric import Engine
    from ..model.harness import Device, Harness
    from ..operation.operate import Operation, Solved
    from ..steps import Loaded

_ON = "on"
_MOST_NAMES = 12
"""Of a kind, in a message; how many more there are is said."""
_OPTIONS = (
    click.option("--state", metavar="NAME", help="A state by its name, such as 'run, stopped' or one under `states:`; the options below change it."),
    click.option("--key", metavar="POSITION", help="Position of the key; where left out run, with the engine cranked start."),
    click.option("--engine", type=click.Choice(["stopped", "cranking", "running"]), help="What the engine does; where left out stopped, with the key in start cranking."),
    click.option("--switch", "switches", metavar="NAME=POSITION", multiple=True,
                 help="A switch held in a position; `on` for its only other one, `open` for none. May be repeated."),
    click.option("--on", metavar="ADDRESS", multiple=True, help="An output that is on. May be repeated."),
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the options say of the state, as they were written."""

    state: str | None
    key: str | None
    engine: str | None
    switches: tuple[str, ...]
    on: tuple[str, ...]

    @property
    def options(self) -> tuple[str, ...]:
        """The options that were given."""
        given = {"--state": self.state, "--key": self.key, "--engine": self.engine, "--switch": self.switches, "--on": self.on}
        return tuple(option for option, value in given.items() if value)


def state_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """The options of a state, in their order."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def operation_of(loaded: Loaded, file: str) -> Operation:
    """The circuit in all its states; without a supply the program ends with 2."""
    if loaded.operation is not None:
        return loaded.operation
    assert loaded.harness is not None
    if loaded.harness.supplies:
        id = loaded.harness.supplies[0]
        stop(f"{file} does not say between which two terminals {id} gives its voltage, and without that nothing is solved", f"give it two: between: [{id}.+, {id}.-]")
    stop(f"{file} names no supply, and without one there is no voltage anywhere",
         'describe the battery under `devices:`: G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}')


def state_of(operation: Operation, file: str, asked: Asked) -> Solved:
    """The state that is asked for, visited or solved now; what names nothing ends the program with 2."""
    from ..model.electric import Engine
    from ..operation.asked import solved_for

    harness = operation.wiring.harness
    begun = _visited(operation, file, asked.state) if asked.state is not None else None
    if begun is not None and asked.options == ("--state",):
        return begun
    key, engine = _key_and_engine(harness, file, asked, begun)
    switches = {**(begun.case.switches if begun else {}), **_switches(harness, file, asked.switches)}
    commanded = (*(begun.case.commanded if begun else ()), *(_output(operation, file, address) for address in asked.on))
    return solved_for(operation, key, Engine(engine), switches, commanded)


def state_shown(loaded: Loaded, file: str, asked: Asked, no_solve: bool) -> Solved | None:
    """The state whose readings a sheet or book shows, None where none is asked for; one without a solution is told, and the program ends with 1."""
    if not asked.options:
        return None
    if no_solve:
        stop(f"{', '.join(asked.options)} ask{'s' if len(asked.options) == 1 else ''} for readings, and --no-solve leaves the circuit unsolved", "leave one of them out")
    operation = operation_of(loaded, file)
    solved = state_of(operation, file, asked)
    if solved.solution is None:
        from .readings_text import of_state

        click.echo(of_state(operation, solved, (), None), err=True)
        leave(1)
    return solved


def addresses_of(operation: Operation, file: str, named: Iterable[str]) -> tuple[str, ...]:
    """Addresses that are named, or all of what owns them; where none is, every contact with a wire. In file order, cavities counted up."""
    from ..network.cavity_order import counted

    harness = operation.wiring.harness
    owners = {owner: number for number, owner in enumerate(dict.fromkeys(contact.owner for contact in harness.contacts.values()))}

    def in_order(addresses: Iterable[str]) -> list[str]:
        return sorted(addresses, key=lambda address: (owners[harness.contacts[address].owner], counted(harness.contacts[address].name)))

    wanted = [address for name in named for address in in_order(_contacts(harness, file, name))]
    return tuple(dict.fromkeys(wanted)) or tuple(in_order(address for address in harness.contacts if harness.wires_at.get(address)))


def reference_of(operation: Operation, file: str, name: str) -> str:
    """The address against which a meter reads; it must have a reading of its own."""
    from ..operation.pulsed import pulsed_contacts

    address = _address(operation, file, name)
    if address in pulsed_contacts(operation):
        stop(f"{address} is on a circuit that pulses, which is not solved", "name another address")
    return address


def refuse_floating(operation: Operation, solved: Solved, reference: str) -> None:
    """Where the reference floats in a state, nothing reads against it, and the program ends with 2."""
    if solved.solution is not None and operation.read(solved, [reference])[reference] is None:
        stop(f"{reference} floats with {solved.case.words}, and nothing reads against it", "name a ground, or a point that has a voltage")


def _address(operation: Operation, file: str, name: str) -> str:
    """One address, which somebody may probe."""
    if name not in operation.wiring.harness.contacts:
        _no_such(f"{file} has no address '{name}'", name, operation.wiring.harness.contacts, "an address is CONNECTOR.CAVITY, or a splice or ground")
    if name in operation.wiring.nodes.off:
        stop(f"{name} is on an airbag circuit, which nobody probes", "name another address")
    return name


def _contacts(harness: Harness, file: str, name: str) -> list[str]:
    if name in harness.contacts:
        return [name]
    owners = {name, *(harness.devices[name].connectors if name in harness.devices else ())}
    owned = [address for address, contact in harness.contacts.items() if contact.owner in owners]
    if owned:
        return owned
    wire = harness.wires.get(name)
    if wire is not None:
        stop(f"'{name}' is a wire, and a meter is held to an address", f"name one of its ends: {wire.from_} or {wire.to}")
    _no_such(f"{file} has no address '{name}'", name, (*harness.contacts, *dict.fromkeys(contact.owner for contact in harness.contacts.values())),
             "an address is CONNECTOR.CAVITY, or a splice or ground; or name a whole connector, box or device")


def _visited(operation: Operation, file: str, name: str) -> Solved:
    if name not in operation.solved:
        _no_such(f"{file} has no state '{name}'", name, operation.solved, f"`harnessdoc readings {file}` lists them")
    return operation.solved[name]


def _key_and_engine(harness: Harness, file: str, asked: Asked, begun: Solved | None) -> tuple[str, str]:
    """Where one of the two is left out, it is that of the state begun from, else what goes with the other."""
    from ..model.electric_words import KEY_OFF

    positions = dict.fromkeys((KEY_OFF, *(harness.devices[harness.key_switch].closes if harness.key_switch else ())))
    if asked.key is not None and asked.key not in positions:
        if harness.key_switch is None:
            stop(f"{file} names no key switch, and the key is off", "give the key switch its positions under `devices:`: closes: {run: [[S1.30, S1.15]]}")
        _no_such(f"the key switch {harness.key_switch} has no position '{asked.key}'", asked.key, positions, f"it has {', '.join(positions)}")
    if begun is not None:
        return asked.key or begun.case.key, asked.engine or begun.case.engine.value
    usual = "start" if asked.engine == "cranking" else "run"
    return asked.key or (usual if usual in positions else KEY_OFF), asked.engine or ("cranking" if asked.key == "start" else "stopped")


def _switches(harness: Harness, file: str, written: Iterable[str]) -> dict[str, str]:
    from ..model.build_states import held_positions
    from ..operation.states import switches_of

    switches = switches_of(harness)
    held: dict[str, str] = {}
    for text in written:
        name, equals, position = (part.strip() for part in text.partition("="))
        if name not in switches:
            if name == harness.key_switch:
                stop(f"{name} is the key switch", f"say --key {position or 'POSITION'}")
            _no_such(f"{file} has no switch '{name}'", name, switches, f"the switches are {_names(switches)}" if switches else "a switch is a device with `closes:`")
        if not equals or not position:
            positions = held_positions(switches[name])
            stop(f"--switch {text} names no position", f"say --switch {name}={positions[0]}; {name} has {', '.join(positions)}")
        if held.setdefault(name, read := _position(name, switches[name], position)) != read:
            stop(f"{name} cannot be {held[name]} and {read} at once", "say one of the two")
    return held


def _position(name: str, switch: Device, written: str) -> str:
    from ..model.build_states import held_positions

    positions = held_positions(switch)
    if written in positions:
        return written
    others = [position for position in switch.closes if position != switch.rest]
    if written == _ON and len(others) == 1:
        return others[0]
    if written == _ON:
        stop(f"{name} has {'no position' if not others else 'more than one position'} that could be meant by on", f"say which: {', '.join(positions)}")
    _no_such(f"switch {name} has no position '{written}'", written, positions, f"it has {', '.join(positions)}")


def _output(operation: Operation, file: str, address: str) -> str:
    from ..trade.signals import is_driven, signals

    contacts = operation.wiring.harness.contacts
    outputs = [name for name, contact in contacts.items() if is_driven(contact.signal) and signals()[contact.signal].direction == "out"]
    if address not in contacts:
        _no_such(f"{file} has no address '{address}'", address, outputs or contacts, "name an output of a control unit")
    signal = contacts[address].signal
    if not is_driven(signal):
        what = f"is {signal}" if signal else "has no `signal:`"
        stop(f"{address} {what}: nothing drives it from inside", f"the outputs are {_names(outputs)}" if outputs else "say the signal of the output under `cavities:`")
    return _address(operation, file, address)


def _no_such(message: str, written: str, known: Collection[str], do: str) -> NoReturn:
    from ..model.ids import nearest

    near = nearest(written, known)
    stop(message, f"did you mean {near}?" if near else do)


def _names(entries: Iterable[str]) -> str:
    from ..model.ids import names

    return names(entries, _MOST_NAMES)

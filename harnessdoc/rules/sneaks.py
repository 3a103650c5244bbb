"""From sneaks to findings: grouped by what an owner of the harness would mend at once, with the path printed thing by thing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from ..findings import Finding, Related, Severity
from .named import name_of

if TYPE_CHECKING:
    from ..judgement.sneaks import Sneak
    from ..operation.operate import Operation
    from .subject import Subject

_MOST_NAMED = 5


def sneaks_of(subject: Subject, opened: bool) -> tuple[Sneak, ...]:
    """Those with something opened that do not show as it is, or those of the states as they are; none where nothing is solved."""
    swept = subject.sweep
    if swept is None:
        return ()
    as_it_is = {sneak.thing for sneak in swept.found if not sneak.opened}
    at_rest = _on_a_contact_at_rest(subject) if opened else frozenset()
    return tuple(sneak for sneak in swept.found if bool(sneak.opened) is opened and not (opened and (sneak.thing in as_it_is or sneak.thing in at_rest)))


def _on_a_contact_at_rest(subject: Subject) -> frozenset[str]:
    """The loads on 87a of relays whose 87 is free: on whenever nothing commands them, which `load-on-unasked` tells."""
    harness, found = subject.harness, set()
    for part in harness.parts.values():
        if part.kind == "relay" and harness.wires_at.get(f"{part.id}.87a") and not harness.wires_at.get(f"{part.id}.87"):
            reached = subject.ways.reach_over([f"{part.id}.87a"], ("wire", "fuse"))
            found.update(load.id for load in _operation(subject).wiring.loads if any(subject.ways.point(end) in reached for end in (load.a, load.b) if end))
    return frozenset(found)


def path_in_words(sneak: Sneak) -> str:
    """``battery G1 > fuse F1 > switch S2 > ...``."""
    return " > ".join(sneak.path)


def in_words(subject: Subject, sneak: Sneak) -> str:
    """``lamp H1 is on (0.4 A)``, ``relay K1 is held in (7.9 V)``, ``circuit fan is live (12.1 V)``."""
    from ..operation.words import amps_shown, volts_with_unit

    harness = subject.harness
    match sneak.what:
        case "live":
            return f"circuit {sneak.thing} is live ({volts_with_unit(sneak.value)})"
        case "on":
            title = next(load.title for load in _operation(subject).wiring.loads if load.id == sneak.thing)
            return f"{f'{title} ' if title else ''}{sneak.thing} is on ({amps_shown(sneak.value)})"
    if sneak.thing in harness.contacts:
        return f"pin {sneak.thing} of a control unit is kept awake ({volts_with_unit(sneak.value)})"
    kind = "relay" if sneak.thing in harness.parts else "device"
    verb = "is pulled in" if sneak.opened else "is held in" if sneak.sure else "may be held in"
    return f"{kind} {sneak.thing} {verb if kind == 'relay' else verb.replace('pulled in', 'woken').replace('held in', 'kept awake')} ({volts_with_unit(sneak.value)})"


def circuit_of(subject: Subject, sneak: Sneak) -> str:
    """The circuit a sneak is in; of a relay the first at its coil of which `hot:` is stated, of a device "" ."""
    harness = subject.harness
    match sneak.what:
        case "live":
            return sneak.thing
        case "on":
            return next((load.circuit for load in _operation(subject).wiring.loads if load.id == sneak.thing), "")
    coil = (harness.wires[wire].circuit for end in ("86", "85") for wire in harness.wires_at.get(f"{sneak.thing}.{end}", ()))
    return next((circuit for circuit in coil if circuit in harness.circuits and harness.circuits[circuit].hot is not None), "")


def runs_on(subject: Subject, sneak: Sneak) -> bool:
    """Whether it is held by the running engine: in while the key is turned back and the engine still turns, and not in with the key there and the engine still."""
    from ..judgement.sneaks import is_a_moment
    from ..model.electric import Engine

    cases = [_operation(subject).solved[name].case for name in sneak.states]
    still = {case.key for case in cases if case.engine is not Engine.RUNNING}
    return any(is_a_moment(case) and case.key not in still for case in cases)


def finding_of(subject: Subject, code: str, severity: Severity, lead: str, sneaks: Sequence[Sneak], do: str, first: tuple[str, ...] = (), origin: str = "common practice") -> Finding:
    """One finding of sneaks that belong together; the first of them gives the path, ``first`` are further names before the things."""
    from ..operation.words import in_states, listed

    harness, catalogue = subject.harness, _operation(subject).wiring.catalogue
    main = sneaks[0]
    words = [in_words(subject, sneak) for sneak in sneaks]
    shown = words if len(words) <= _MOST_NAMED else [*words[:_MOST_NAMED], f"{len(words) - _MOST_NAMED} more"]
    path = f"; the current: {path_in_words(main)}" if main.path else ""
    things = [name for sneak in sneaks for name in _names(subject, sneak)]
    on_the_way = [name_of(catalogue[element]) for element in main.elements]
    at = tuple(dict.fromkeys((*first, *things, *on_the_way)))
    place = harness.source.place()
    for name in (*first, *things):
        source = _source(subject, name)
        if source is not None:
            place = source.place()
            break
    return Finding(code, severity, f"{lead}{listed(shown)} {in_states(main.states)}{path}", place, do,
                   tuple(Related(source.place(), f"{name} stands here") for name in dict.fromkeys((*first, *things[:4])[1:]) if (source := _source(subject, name)) is not None),
                   at=at, state=main.states[0], value=words[0].rpartition("(")[2].rstrip(")"), limit=_limit(main), origin=origin)


def by_circuit(subject: Subject, sneaks: Iterable[Sneak]) -> Iterator[tuple[str, list[Sneak]]]:
    """The sneaks of each circuit together, those of none each by itself."""
    groups: dict[str, list[Sneak]] = {}
    for sneak in sneaks:
        circuit = circuit_of(subject, sneak)
        groups.setdefault(circuit or f" {sneak.thing}", []).append(sneak)
    yield from ((name.strip(), sorted(group, key=lambda sneak: sneak.what != "on")) for name, group in groups.items())


def by_root(subject: Subject, sneaks: Sequence[Sneak]) -> Iterator[tuple[Sneak, list[Sneak]]]:
    """Each sneak that is fed by no relay which is held itself, with those that are: one mend helps them all."""
    if not sneaks:
        return
    catalogue = _operation(subject).wiring.catalogue
    held = {sneak.thing: sneak for sneak in sneaks}

    def root_of(sneak: Sneak) -> Sneak:
        seen: set[str] = set()
        while sneak.thing not in seen:
            seen.add(sneak.thing)
            above = [held[name] for element in sneak.elements if (name := name_of(catalogue[element])) in held and name != sneak.thing and name in subject.harness.parts]
            if not above:
                return sneak
            sneak = above[0]
        return sneak

    groups: dict[str, list[Sneak]] = {}
    for sneak in sneaks:
        root = root_of(sneak)
        # What is fed by one wire of one source is held by it together: the pin that wakes the unit, and the relay beside it.
        by = next((other for other in groups if held[other].elements[:2] == root.elements[:2] and root.elements), root.thing)
        groups.setdefault(by, []).append(sneak)
    yield from ((held[thing], [sneak for sneak in group if sneak.thing != thing]) for thing, group in groups.items())


def _limit(sneak: Sneak) -> str:
    from ..operation.words import amps_shown, volts_with_unit

    return amps_shown(sneak.limit) if sneak.what == "on" else volts_with_unit(sneak.limit)


def _names(subject: Subject, sneak: Sneak) -> tuple[str, ...]:
    if sneak.what == "live":
        return (f"circuit {sneak.thing}",)
    if sneak.what == "held":
        return (sneak.thing,)
    load = next(load for load in _operation(subject).wiring.loads if load.id == sneak.thing)
    return tuple(dict.fromkeys((load.owner if sneak.thing not in subject.harness.contacts else sneak.thing, *([f"circuit {load.circuit}"] if load.circuit in subject.harness.circuits else []))))


def _source(subject: Subject, name: str):
    harness = subject.harness
    kind, _, id = name.partition(" ")
    if id:
        thing = {"circuit": harness.circuits, "wire": harness.wires}.get(kind, {}).get(id)
    else:
        thing = next((group[name] for group in (harness.parts, harness.devices, harness.grounds, harness.contacts, harness.connectors, harness.splices) if name in group), None)
    return None if thing is None else thing.source


def _operation(subject: Subject) -> Operation:
    assert subject.operation is not None
    return subject.operation


def inside_outputs(subject: Subject, sneak: Sneak) -> bool:
    """Whether the path of a sneak leads through what stands behind a pin of a control unit, or an output that is on."""
    from ..operation.catalogue import INSIDE, OUTPUT

    catalogue = _operation(subject).wiring.catalogue
    return any(catalogue[element].kind in (INSIDE, OUTPUT) for element in sneak.elements)


def opened_ground(subject: Subject, sneak: Sneak) -> str:
    """The address of the ground that is open, "" where it is something else."""
    from ..operation.catalogue import GROUND

    entry = _operation(subject).wiring.catalogue[sneak.opened]
    return entry.a if entry.kind == GROUND else ""


def opened_fuse(subject: Subject, sneak: Sneak) -> str:
    """The id of the fuse or fusible link that is out, "" where it is something else."""
    from ..operation.catalogue import FUSE, LINK

    entry = _operation(subject).wiring.catalogue[sneak.opened]
    return name_of(entry) if entry.kind in (FUSE, LINK) else ""

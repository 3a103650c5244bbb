"""The circuits under ``circuits:``, and the names of circuits that wires, parts and pins say.

Takes a Harness. Gives what names a circuit, and which circuit of the list is meant where one is named that is not in it. In a merge the
circuits of a source (``donor/lamps``) are a list of their own.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from ..findings import Place
from ..model.harness import Harness
from ..model.ids import nearest, own_part


@dataclass(frozen=True, slots=True)
class Naming:
    """thing: what names the circuit, as a finding does; place: where it is named."""

    thing: str
    place: Place


class CircuitList:
    """What of a harness is under ``circuits:``, and what names it."""

    def __init__(self, harness: Harness, sources: Collection[str] = ()) -> None:
        """sources: names that stand before the ids of what a merge took over."""
        self._sources = sources
        self._listed = {id: circuit for id, circuit in harness.circuits.items() if circuit.source is not None}
        self._harness = harness

    @cached_property
    def named(self) -> Mapping[str, tuple[Naming, ...]]:
        """Circuit -> what names it: wires, then parts, then pins, in the order of the description."""
        found: dict[str, list[Naming]] = {}
        harness = self._harness
        groups = (("wire ", harness.wires), ("", harness.parts), ("", harness.contacts))
        for word, group in groups:
            for id, thing in group.items():
                if thing.circuit:
                    found.setdefault(thing.circuit, []).append(Naming(word + id, thing.source.place_of("circuit")))
        return {name: tuple(namings) for name, namings in found.items()}

    @cached_property
    def unlisted(self) -> tuple[str, ...]:
        """What is named and not in the list, where the list says systems: then what is not in it has no diagram of its own."""
        return tuple(name for name in self.named if name not in self._listed and self.of_system(name))

    @cached_property
    def meant(self) -> Mapping[str, str]:
        """Name that is not in the list -> the circuit that is meant, "" where none is like it."""
        return {name: "" if self.system_called(name) else nearest(name, sorted(self._beside(name), key=lambda id: id in self.named)) for name in self.unlisted}

    def own(self, name: str) -> str:
        """A name as the list it belongs to writes it: without that of a source before it."""
        return own_part(name, self._sources)

    def system_called(self, name: str) -> str:
        """The system that has the name; "" where none has."""
        own = self.own(name).casefold()
        return next((system for system in self.of_system(name) if system.casefold() == own), "")

    def of_system(self, name: str) -> Mapping[str, tuple[str, ...]]:
        """System -> its circuits in the list to which ``name`` belongs, without those that have no system."""
        return self._systems.get(self._source_of(name), {})

    def place_of(self, id: str) -> Place:
        """Where a circuit of the list stands."""
        source = self._listed[id].source
        assert source is not None
        return source.place()

    def _beside(self, name: str) -> list[str]:
        """The list to which a name belongs."""
        return self._lists.get(self._source_of(name), [])

    @cached_property
    def _lists(self) -> Mapping[str, list[str]]:
        found: dict[str, list[str]] = {}
        for id in self._listed:
            found.setdefault(self._source_of(id), []).append(id)
        return found

    @cached_property
    def _systems(self) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
        found: dict[str, dict[str, tuple[str, ...]]] = {}
        for source, ids in self._lists.items():
            systems = dict.fromkeys(self._listed[id].system for id in ids)
            found[source] = {system: tuple(id for id in ids if self._listed[id].system == system) for system in systems if system}
        return found

    def _source_of(self, name: str) -> str:
        return name.removesuffix(self.own(name))

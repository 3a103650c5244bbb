"""What a merge changes in the records of its sources, gathered before any new document is made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from ..description.text import Record

Change = Callable[[Record], Record]


@dataclass(slots=True)
class Edits:
    """changed: (section, id) of the merge -> the changes, in order; dropped: (section, id);

    added:   section -> id -> entry
    derived: wire -> further wires made of its record, which stand behind it
    """

    changed: dict[tuple[str, str], list[Change]] = field(default_factory=dict)
    dropped: set[tuple[str, str]] = field(default_factory=set)
    added: dict[str, dict[str, Record]] = field(default_factory=dict)
    derived: dict[str, list[tuple[str, Change]]] = field(default_factory=dict)

    def change(self, section: str, id: str, change: Change) -> None:
        self.changed.setdefault((section, id), []).append(change)

    def add(self, section: str, id: str, entry: Record) -> None:
        self.added.setdefault(section, {})[id] = entry

    def result(self, section: str, id: str, entry: Record) -> Record:
        """An entry after all its changes."""
        for change in self.changed.get((section, id), ()):
            entry = change(entry)
        return entry

"""What is said beside the harness itself: what terminals take, options of rules, waivers.

Takes: the documents. Gives: the three of them, in the order of the files, and findings.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..description.text import Items, Record
from ..findings import Related
from .harness import TerminalKind, Waiver
from .values import Values


def read_terminals(values: Values, documents: Sequence[Record]) -> dict[str, TerminalKind]:
    """Terminals by name; one of which the sizes are unknown or cannot be read is left out."""
    if not any("terminals" in document for document in documents):
        return {}
    from ..description.measures import parse_size_range    # a file without terminals starts without

    terminals = {}
    for name, entry in _entries(values, documents, "terminals", "terminal"):
        if (sizes := values.quantity(entry, "takes", parse_size_range, f"terminal {name}")) is not None:
            terminals[name] = TerminalKind(name, *sizes, values.text(entry, "note"), values.text(entry, "evidence"), entry)
    return terminals


def read_rule_options(values: Values, documents: Sequence[Record]) -> dict[str, Record]:
    """Code of a rule -> its options as written."""
    return dict(_entries(values, documents, "rules", "rule"))


def read_waivers(values: Values, documents: Sequence[Record]) -> tuple[Waiver, ...]:
    """All waivers that are whole; what one lacks was reported by the schema check."""
    waivers = []
    for document in documents:
        written = document.get("waivers")
        for entry in written if isinstance(written, Items) else ():
            if isinstance(entry, Record):
                said = [values.text(entry, key) for key in ("at", "code", "reason", "date")]
                if all(said):
                    waivers.append(Waiver(*said, entry))
    return tuple(waivers)


def _entries(values: Values, documents: Sequence[Record], section: str, what: str) -> Iterator[tuple[str, Record]]:
    """The entries of a section whose keys are no ids; a key that stands in two files is a finding, and the first counts."""
    first: dict[str, Record] = {}
    for document in documents:
        written = document.get(section)
        for name, entry in written.items() if isinstance(written, Record) else ():
            if not isinstance(entry, Record):
                continue
            if name in first:
                values.error("duplicate-id", f"`{section}` speaks of {what} {name} in two files", written.place_of_key(name), "keep one of the two",
                             Related(first[name].place_of_key(name), f"{what} {name} stands here"))
                continue
            first[name] = written
            yield name, entry

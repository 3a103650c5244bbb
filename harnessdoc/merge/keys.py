"""The keys of a merge, and what of it stands where no sources are named.

Apart from ``assemble.py``, so that a description of one harness starts without the merge.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..description.text import Record
from ..findings import Finding, Severity
from ..model.ids import printable

MERGE_KEYS = ("sources", "fates", "joins", "interfaces", "open")
"""What only a merge says, at the top of its file."""


def is_merge(documents: Sequence[Record]) -> bool:
    """Whether a description names sources."""
    return bool(documents) and isinstance(documents[0].get("sources"), Record)


def stray_keys(documents: Sequence[Record]) -> list[Finding]:
    """Findings for what only a merge may say, in a description without sources.

    None where ``sources`` stands there in a way that cannot be read: the schema check speaks of that.
    """
    findings: list[Finding] = []
    if any(document.get("sources") for document in documents[:1]):
        return findings
    for document in documents:
        for key in MERGE_KEYS:
            if document.get(key):
                findings.append(Finding("merge-without-sources", Severity.ERROR, f"`{key}` stands in a description without `sources`", document.place_of_key(key),
                                        "name the descriptions that are merged: `sources: {host: {file: ..., role: host}, donor: {file: ..., role: donor}}`"))
        places = document.get("places")
        for name, value in places.items() if isinstance(places, Record) else ():
            if isinstance(value, str):
                findings.append(Finding("wrong-kind", Severity.ERROR, f"place {printable(name)} is the text '{value}', where a map is wanted", places.place_of(name),
                                        f"write `{name}: {{title: {value}}}`; a point on the right stands in a merge only"))
    return findings

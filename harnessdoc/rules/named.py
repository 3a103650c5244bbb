"""How findings and waivers name what they lie at: ``wire 12``, else the bare id or address."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..operation.catalogue import Entry


def name_of(entry: Entry) -> str:
    """The name of what an element of the circuit belongs to; of ``load tracks of device U2`` it is U2."""
    return f"wire {entry.wire}" if entry.wire else entry.thing.rpartition(" ")[2]

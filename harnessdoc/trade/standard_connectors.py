"""Connectors whose assignment a standard publishes: trailer and diagnostic sockets.

Gives each as its cavities with function, colour, size and signal kind, as quoted
by makers and sites (the standards themselves were not read). Facts:
``data/standard_connectors.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import rows


@dataclass(frozen=True, slots=True)
class StandardCavity:
    """One cavity.

    label:    the DIN 72552 number or letters printed beside it, "" for none
    colour:   IEC 60757 letters, "" where the standard leaves it open
    size:     as a size is written in a description, "" where open
    signal:   kind of ``signals.py``, as given by the towing or the diagnosed vehicle
    """

    cavity: str
    label: str
    function: str
    colour: str
    size: str
    signal: str
    origin: str
    mark: str


@dataclass(frozen=True, slots=True)
class StandardConnector:
    """A connector by its standard, with cavities in their order."""

    standard: str
    title: str
    cavities: tuple[StandardCavity, ...]


@cache
def standard_connectors() -> Mapping[str, StandardConnector]:
    """Every connector of the table by its standard (``ISO 1724``)."""
    out: dict[str, StandardConnector] = {}
    for row in rows("standard_connectors"):
        fields = dict(row)
        standard, title = fields.pop("standard"), fields.pop("title")
        before = out[standard].cavities if standard in out else ()
        out[standard] = StandardConnector(standard, title, (*before, StandardCavity(**fields)))
    return out

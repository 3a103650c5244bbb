"""One of the two versions that are compared: a harness and what was computed of it."""

from __future__ import annotations

from dataclasses import dataclass

from ..findings import Finding
from ..geometry.measure import Geometry
from ..model.harness import Harness
from ..network.islands import Network


@dataclass(frozen=True, slots=True)
class Version:
    """A harness, its copper, its lengths and its findings."""

    harness: Harness
    network: Network
    geometry: Geometry
    findings: tuple[Finding, ...]

"""A harness and what was computed of it: what a book is made from, and one of the two that are compared."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..description.order_file import OrderFile
from ..findings import Finding
from ..geometry.labels import Numbers
from ..geometry.measure import Geometry
from ..merge.numbers import join_numbers
from ..model.harness import Harness
from ..network.islands import Network

if TYPE_CHECKING:
    from ..merge.plan import Merge
    from ..operation.operate import Operation
    from ..rules.lack import Unasked
    from ..rules.waivers import Waived


@dataclass(frozen=True, slots=True)
class Version:
    """A harness, its copper, its lengths, what the rules found, what of it is waived and what they could not ask, and its circuit solved: None where nothing gives a supply, or nobody asked; merge: what was decided, where two harnesses are merged; order: what the order file says, no part of the harness and never compared."""

    harness: Harness
    network: Network
    geometry: Geometry
    findings: tuple[Finding, ...]
    waived: tuple[Waived, ...]
    unasked: tuple[Unasked, ...]
    operation: Operation | None
    merge: Merge | None = None
    order: OrderFile | None = None

    @property
    def join_numbers(self) -> Numbers | None:
        """The numbers of joins that the labels of wires carry; None where nothing is merged: those of the splices count then."""
        return join_numbers(self.merge, self.harness) if self.merge else None

"""What the rules look at: the harness, what was computed of it, and its files by name.

What only some rules ask for is made when the first of them asks.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from ..description.units import Quantity, UnitFault
from .options import Option

if TYPE_CHECKING:
    from ..description.text import SourceText
    from ..geometry.measure import Geometry
    from ..judgement.judge import Judgement
    from ..judgement.sneaks import Sweep
    from ..model.harness import Harness
    from ..network.islands import Network
    from ..network.ways import Ways
    from ..merge.plan import Merge
    from ..operation.operate import Operation
    from .extensions import Extended
    from .joined import Join


@dataclass(frozen=True)
class Subject:
    """The harness and all that is known of it.

    lacks:     True for a character the sheets cannot print
    operation: the circuit solved; None where nothing gives a supply, or nobody asked
    sweeps:    whether every ground and fuse is opened in turn, whatever that takes; None: where it is not too much
    merge:     what was decided, where two harnesses are merged
    """

    harness: Harness
    network: Network
    geometry: Geometry
    texts: Mapping[str, SourceText]
    lacks: Callable[[str], bool]
    operation: Operation | None = None
    sweeps: bool | None = None
    merge: Merge | None = None

    def value(self, option: Option) -> Quantity:
        """What the description says for an option of a rule, else its default; what cannot be read was reported and is the default."""
        stated = self.harness.rule_options.get(option.code)
        text = stated.get(option.name) if stated is not None else None
        read = option.read(text) if isinstance(text, str) else None
        if read is None or isinstance(read, UnitFault):
            read = option.read(option.default)
            assert isinstance(read, Quantity), f"the default of {option.code} {option.name} cannot be read"
        return read

    @cached_property
    def ways(self) -> Ways:
        """What leads from point to point, solved or not."""
        from ..network.ways import find_ways

        return find_ways(self.harness, self.network)

    @cached_property
    def extended(self) -> Extended:
        """The extensions thinner than what feeds them, which rules of their fuses leave to ``thinner-after-splice``."""
        from .extensions import thinner_extensions

        return thinner_extensions(self)

    @cached_property
    def judgement(self) -> Judgement | None:
        """Drops, wires and fuses judged; None where the circuit is not solved."""
        if self.operation is None:
            return None
        from ..judgement.judge import judge     # a file without a supply starts without it

        return judge(self.operation, self.geometry)

    @cached_property
    def sweep(self) -> Sweep | None:
        """What is live, on or held in as it is, and with each ground and fuse opened; None where the circuit is not solved."""
        if self.operation is None:
            return None
        from ..judgement.sneaks import opens, sweep

        return sweep(self.operation, opens(self.operation, self.sweeps))

    @cached_property
    def joins(self) -> Mapping[int, tuple[Join, ...]]:
        """Failure mode -> the pairs of signals on one copper that lead to it; 0: those that lead to none of the sixty."""
        from .joined import joins

        found: dict[int, list[Join]] = {}
        for join in joins(self):
            found.setdefault(join.row.modes[0] if join.row.modes else 0, []).append(join)
        return {mode: tuple(of_mode) for mode, of_mode in found.items()}

    def members(self, island: int) -> tuple[str, ...]:
        """The addresses of a copper island."""
        return self.network.islands[island]

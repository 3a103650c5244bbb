"""What would hold: the next fuse down that still carries its load, or wires of the next size up, each with its sum.

Takes what was found wrong with a fuse; gives lines for a sheet. A smaller fuse is one the
type is made in; a thicker wire one of the same system of sizes that its terminals take.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, inf

from ..model.harness import Part
from ..operation.catalogue import WIRE
from ..operation.operate import Operation
from ..operation.words import amps_shown
from ..trade.ampacity import Ampacity
from ..trade.fuse_gates import gates
from ..trade.fuses import fuse_resistance, standard_ratings
from ..trade.sizes import Size
from ..trade.tables import factors
from ..trade.wire_fuses import is_customary
from .supply_ways import Short, SupplyWays
from .thicker import most_mm2, of_size, thicker
from .wires import Peak, WireJudged, allowed_for


_MOST_NAMED = 3
_NOTHING_A = 5e-5
"""Less is none to a meter."""


@dataclass(frozen=True, slots=True)
class _Limit:
    """By what a fuse of a type is judged: what it lets through of its rating, and what a wire bears of its ampacity."""

    share: float
    bears: float

    def holds(self, rating_a: float, allowed_a: float) -> bool:
        return self.share * rating_a <= self.bears * allowed_a

    def words(self, rating_a: float, allowed_a: float) -> str:
        if self.share == self.bears == 1.0:
            return f"{rating_a:g} A of {allowed_a:.4g} A"
        return f"{self.share:g} x {rating_a:g} A = {self.share * rating_a:.4g} A of {self.bears:g} x {allowed_a:.4g} A = {self.bears * allowed_a:.4g} A"


def long_share(fuse_type: str) -> float | None:
    """How many times its rating a fuse may carry for long before it must open: its lowest gate that ends. None without gates."""
    return next((share for share, gate in (gates(fuse_type) or {}).items() if gate.max_s is not None), None)


def remedies(operation: Operation, ways: SupplyWays, part: Part, sized: Sequence[WireJudged], short: Short | None, carried: Peak | None, cranking: Peak | None,
             not_counted: Sequence[str]) -> tuple[str, ...]:
    """A fuse that holds, then wires that hold; empty where neither is to be had.

    sized: the wires behind it whose size is known; not_counted: loads behind it of which no solved state has the current, in words
    """
    if part.rating is None:
        return ()
    share = long_share(part.type)
    limit = _Limit(share, factors()["fuse-lets-through"].value) if share is not None else _Limit(1.0, 1.0)
    fuse = _other_fuse(part, part.rating.value, limit, sized, short, carried, cranking, not_counted)
    return tuple(filter(None, (fuse, _thicker_wires(operation, ways, part, part.rating.value, limit, sized, short))))


def _other_fuse(part: Part, now_a: float, limit: _Limit, sized: Sequence[WireJudged], short: Short | None, carried: Peak | None, cranking: Peak | None,
                not_counted: Sequence[str]) -> str:
    """The largest rating that holds in all; one above the present one only where the load asks for it, then the smallest."""
    for_good_a, for_seconds_a = (peak.current_a if peak else 0.0 for peak in (carried, cranking))
    usual, good = factors()["fuse-continuous"].value, factors()["short-good"].value
    allowed_a = min((wire.allowed.current_a for wire in sized if isinstance(wire.allowed, Ampacity)), default=None)
    asks_for_more = now_a < max(for_good_a / usual, for_seconds_a)
    for rating_a in standard_ratings(part.type) if asks_for_more else reversed(standard_ratings(part.type)):
        if rating_a == now_a or rating_a > now_a and not asks_for_more:
            continue
        if for_good_a > usual * rating_a or for_seconds_a > rating_a or allowed_a is None or not limit.holds(rating_a, allowed_a):
            continue
        if not all(is_customary(rating_a, wire.size.area_mm2) for wire in sized if wire.size is not None):
            continue
        words = [limit.words(rating_a, allowed_a)]
        if short is not None and gates(part.type):
            amps = short.source_v / (short.loop_ohm - short.fuse_ohm + fuse_resistance(part.type, rating_a)[1].value / rating_a)
            if amps < good * rating_a:
                continue
            words.append(f"short {amps_shown(amps)}, {amps / rating_a:.3g} x {rating_a:g} A")
        words.append(_load_words(max(for_good_a, for_seconds_a), not_counted))
        return f"a fuse of {rating_a:g} A: {'; '.join(words)}"
    return ""


def _load_words(amps: float, not_counted: Sequence[str]) -> str:
    """``carries 4.1 A``, with what has to be added by hand; where no solved state has a current it claims none."""
    more = f" and {len(not_counted) - _MOST_NAMED} more" if len(not_counted) > _MOST_NAMED else ""
    unsolved = f"{', '.join(not_counted[:_MOST_NAMED])}{more}"
    if amps < _NOTHING_A:
        return f"nothing says what it carries: {unsolved}; hold the rating against that" if not_counted else "nothing that draws is described behind it"
    return f"carries {amps_shown(amps)}{f'; add {unsolved}' if not_counted else ''}"


def _thicker_wires(operation: Operation, ways: SupplyWays, part: Part, now_a: float, limit: _Limit, sized: Sequence[WireJudged], short: Short | None) -> str:
    """The sizes that hold: first what each wire needs to bear the fuse, then, for the short, the wire with the most ohms one size up, again and again."""
    conductors, wanted = operation.wiring.conductors, dict[str, Size]()
    for wire in sized:
        size = wire.size
        most = most_mm2(operation, wire.wire)
        while size is not None and not limit.holds(now_a, _allowed_a(operation, wire, size)):
            size = next((other for other in thicker(size) if other.area_mm2 <= most), None)
        if size is None:
            return ""
        if size != wire.size:
            wanted[wire.wire] = size
    amps = 0.0
    if short is not None and gates(part.type):
        on_way = dict.fromkeys(edge.entry.wire for edge in (*short.out, *short.back) if edge.entry.kind == WIRE)
        now = {id: of_size(conductors[id], wanted[id]) if id in wanted else conductors[id] for id in on_way}
        rest = short.loop_ohm - fsum(ways.hot_ohm_of(conductors[id]) for id in on_way)
        while (amps := short.source_v / (rest + fsum(map(ways.hot_ohm_of, now.values())))) < factors()["short-good"].value * now_a:
            grown = {id: size for id, conductor in now.items() if conductor.size and (size := next(thicker(conductor.size), None)) and size.area_mm2 <= most_mm2(operation, id)}
            worst = max(grown, key=lambda id: ways.hot_ohm_of(now[id]), default=None)
            if worst is None:
                return ""
            wanted[worst] = grown[worst]
            now[worst] = of_size(now[worst], wanted[worst])
    if not wanted:
        return ""
    by_size: dict[Size, list[str]] = {}
    for id, size in wanted.items():
        by_size.setdefault(size, []).append(f"{id} ({conductors[id].size})")
    sums = [limit.words(now_a, min(_allowed_a(operation, wire, wanted.get(wire.wire) or wire.size) for wire in sized if wire.size))] if sized else []
    sums += [f"short {amps_shown(amps)}, {amps / now_a:.3g} x {now_a:g} A"] if amps else []
    return f"{', '.join(f'{size} for wire ' + ', '.join(wires) for size, wires in by_size.items())}: {'; '.join(sums)}"


def _allowed_a(operation: Operation, wire: WireJudged, size: Size) -> float:
    """What the wire may carry in that size; no end of it where no table says, so that nothing is asked of it."""
    allowed = allowed_for(operation, operation.wiring.conductors[wire.wire], size, wire.bundled)
    return allowed.current_a if isinstance(allowed, Ampacity) else inf

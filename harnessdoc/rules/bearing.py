"""Whether a wire bears the fuse before it: what the fuse lets through for long against what the wire does.

Takes a Subject, a fuse or fusible link, and a wire. Where the circuit is solved the judgement of the wire counts, else what it may
carry alone and at 30 C.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from ..trade.fuse_gates import gates
from ..trade.fuses import standard_ratings
from ..trade.fusible_links import protects
from ..trade.tables import factors
from ..trade.wire_fuses import is_customary

if TYPE_CHECKING:
    from ..model.harness import Harness, Part, Wire
    from .subject import Subject

_COOL_C = 30.0


def allowances(subject: Subject) -> Callable[[Wire], float | None]:
    """What a wire may carry in A; of one whose size or table is not known None."""
    from ..trade.ampacity import Ampacity

    judgement = subject.judgement
    if judgement is None:
        return partial(_cool_a, subject.harness)

    def allowed(wire: Wire) -> float | None:
        judged = judgement.wires.get(wire.id)
        return judged.allowed.current_a if judged is not None and isinstance(judged.allowed, Ampacity) else None

    return allowed


def _cool_a(harness: Harness, wire: Wire) -> float | None:
    """What a wire may carry alone and at 30 C."""
    from ..trade.ampacity import Ampacity, ampacity, of_free_air

    if wire.size is None:
        return None
    found = of_free_air(wire.free_air.value, wire.size, 1) if wire.free_air else \
        ampacity(wire.size, wire.type.temperature_c if wire.type else None, harness.ampacity, False, _COOL_C, 1)
    return found.current_a if isinstance(found, Ampacity) else None


def long_share(part: Part) -> float | None:
    """How many times its rating it may carry for long: its lowest gate that ends; None without gates."""
    return next((share for share, gate in (gates(part.type) or {}).items() if gate.max_s is not None), None)


def is_over(part: Part, wire: Wire, allowed_of: Callable[[Wire], float | None]) -> bool:
    """Whether the part lets through more than the wire bears; False where a size, a rating or a table is missing."""
    if wire.size is None:
        return False
    if part.kind == "fusible link":
        return part.size is not None and not protects(part.size, wire.size)
    allowed_a = allowed_of(wire)
    return allowed_a is not None and part.rating is not None and not bears_fuse(part, part.rating.value, allowed_a)


def bears_fuse(part: Part, rating_a: float, allowed_a: float) -> bool:
    """Whether a wire that may carry ``allowed_a`` bears a fuse of the part's type and of a rating."""
    share = long_share(part)
    if share is None:
        return rating_a <= factors()["fuse-above-ampacity"].value * allowed_a
    return share * rating_a <= factors()["fuse-lets-through"].value * allowed_a


def fuse_for(part: Part, wire: Wire, allowed_of: Callable[[Wire], float | None]) -> float | None:
    """The largest rating in A below that of the part, of its type, that the wire bears; None where there is none, or too little is known."""
    allowed_a = allowed_of(wire)
    if allowed_a is None or part.rating is None:
        return None
    return max((rating for rating in standard_ratings(part.type) if rating < part.rating.value and bears_fuse(part, rating, allowed_a)
                and (wire.size is None or is_customary(rating, wire.size.area_mm2))), default=None)

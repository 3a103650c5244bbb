"""A way through the harness in words, and by the names that findings and waivers use.

Takes Ways (a chain of them); gives texts.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..network.ways import Way
    from .subject import Subject


def in_words(way: Sequence[Way], most: int) -> str:
    """``fuse F1, wire 2, switch S1 and wire 3``; of a long way the last."""
    from ..operation.words import listed

    words = list(dict.fromkeys(_thing(one) for one in way))
    return listed(words[-most:]) or "a bar or a link"


def names(way: Sequence[Way]) -> tuple[str, ...]:
    """``wire 12`` of a wire, else the bare id; each once."""
    return tuple(dict.fromkeys(f"wire {one.thing}" if one.kind == "wire" else one.thing for one in way))


def switched_by(subject: Subject, way: Sequence[Way]) -> str:
    """``whenever S1 is at run``, of the first switch on the way; ``always`` where there is none."""
    switch = next((one for one in way if one.kind == "switch"), None)
    if switch is None:
        return "always" if not any(one.kind == "relay" for one in way) else "whenever its relay is in"
    positions = [position for position, pairs in subject.harness.devices[switch.thing].closes.items() if (switch.a, switch.b) in pairs]
    return f"whenever {switch.thing} is at {' or '.join(positions)}"


def last_fuse(way: Sequence[Way]) -> str:
    """The id of the last fuse or link on a way; "" where there is none."""
    return next((one.thing for one in reversed(way) if one.kind in ("fuse", "fusible link")), "")


def _thing(way: Way) -> str:
    return way.thing if way.kind == "metal" else f"{way.kind} {way.thing}"

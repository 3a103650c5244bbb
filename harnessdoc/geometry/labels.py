"""What is printed on the label of each wire end.

Takes a harness; gives two labels a wire. A join number stands first; then wire,
size and colour; the two labels of a wire differ in "to" only (reference: habits of
factory books).
"""

from __future__ import annotations

from dataclasses import dataclass

from ..model.harness import OPEN, UNKNOWN, Harness, Wire
from ..trade.colours import print_colour
from ..trade.sizes import print_size


@dataclass(frozen=True, slots=True)
class Label:
    """One label: of ``wire`` at its end "A" (``from``) or "B" (``to``), which is the address ``at``, UNKNOWN or OPEN."""

    wire: str
    end: str
    at: str
    text: str


def label_list(harness: Harness, convention: str | None = None) -> tuple[Label, ...]:
    """Two labels for each wire, in the order of the description; none for an open end.

    convention: how colours are printed; None as stated.
    """
    return tuple(label for wire in harness.wires.values() for label in labels_of_wire(harness, wire, convention))


def labels_of_wire(harness: Harness, wire: Wire, convention: str | None) -> tuple[Label, ...]:
    """The labels of one wire."""
    return tuple(Label(wire.id, end, at, label_text(harness, wire, to, convention))
                 for end, at, to in (("A", wire.from_, wire.to), ("B", wire.to, wire.from_)) if at != OPEN)


def label_text(harness: Harness, wire: Wire, to: str, convention: str | None) -> str:
    """``J27 | 451B | 0.75 mm² YE/BK | to C203.14``; what is unknown is left out, but for the far end.

    A bar stands behind the number: "4 8 mm²" would read as one.
    """
    joins = [splice.join for address in (wire.from_, wire.to) if (splice := harness.splices.get(address)) and splice.join]
    kind = " ".join(filter(None, (print_size(wire.size) if wire.size else "", colour_text(wire, convention))))
    far = {UNKNOWN: "to ?", OPEN: "open"}.get(to, f"to {to}")
    return " | ".join(filter(None, [*dict.fromkeys(joins), wire.id, kind, far]))


def colour_text(wire: Wire, convention: str | None) -> str:
    """The colour of a wire as printed; "" unknown."""
    if wire.colour is None:
        return ""
    return print_colour(wire.colour, convention) if convention else wire.colour_as_stated

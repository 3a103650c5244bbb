"""What is printed on the label of each wire end.

Takes a harness, and where two are merged the numbers of the joins at each wire; gives two
labels a wire. A join number stands first; then wire, size and colour; the two labels of a
wire differ in "to" only (reference: habits of factory books).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..model.harness import OPEN, UNKNOWN, Harness, Wire
from ..trade.colours import print_colour
from ..trade.sizes import print_size

Numbers = Mapping[str, tuple[str, ...]]
"""Wire -> the numbers of the joins it belongs to; a wire of none may be missing."""


@dataclass(frozen=True, slots=True)
class Label:
    """One label: of ``wire`` at its end "A" (``from``) or "B" (``to``), which is the address ``at``, UNKNOWN or OPEN.

    joins: the numbers that stand first; words: what follows, each behind a bar: wire, size and colour, "to ..."
    """

    wire: str
    end: str
    at: str
    joins: tuple[str, ...]
    words: tuple[str, ...]

    @property
    def text(self) -> str:
        """``J27 | 451B | 0.75 mm² YE/BK | to C203.14``. A bar stands behind the number: "4 8 mm²" would read as one."""
        return " | ".join((*self.joins, *self.words))


def label_list(harness: Harness, convention: str | None = None, numbers: Numbers | None = None) -> tuple[Label, ...]:
    """Two labels for each wire, in the order of the description; none for an open end.

    convention: how colours are printed; None as stated. numbers: those of joins; None: of the splices at its ends.
    """
    return tuple(label for wire in harness.wires.values() for label in labels_of_wire(harness, wire, convention, numbers))


def labels_of_wire(harness: Harness, wire: Wire, convention: str | None, numbers: Numbers | None = None) -> tuple[Label, ...]:
    """The labels of one wire."""
    return tuple(_label(harness, wire, end, at, to, convention, numbers) for end, at, to in (("A", wire.from_, wire.to), ("B", wire.to, wire.from_)) if at != OPEN)


def label_text(harness: Harness, wire: Wire, to: str, convention: str | None, numbers: Numbers | None = None) -> str:
    """The text of the label of a wire at the end from which it leads ``to`` an address, UNKNOWN or OPEN; what is unknown is left out, but for the far end."""
    return _label(harness, wire, "", "", to, convention, numbers).text


def _label(harness: Harness, wire: Wire, end: str, at: str, to: str, convention: str | None, numbers: Numbers | None) -> Label:
    if numbers is None:
        joins = [splice.join for address in (wire.from_, wire.to) if (splice := harness.splices.get(address)) and splice.join]
    else:
        joins = list(numbers.get(wire.id, ()))
    kind = " ".join(filter(None, (print_size(wire.size) if wire.size else "", colour_text(wire, convention))))
    far = {UNKNOWN: "to ?", OPEN: "open"}.get(to, f"to {to}")
    # a piece put in between may have the number of its join
    words = [*([] if wire.id in joins else [wire.id]), *filter(None, [kind]), far]
    return Label(wire.id, end, at, tuple(dict.fromkeys(joins)), tuple(words))


def colour_text(wire: Wire, convention: str | None) -> str:
    """The colour of a wire as printed; "" unknown."""
    if wire.colour is None:
        return ""
    return print_colour(wire.colour, convention) if convention else wire.colour_as_stated

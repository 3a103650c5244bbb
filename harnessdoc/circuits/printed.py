"""What a diagram prints of the harness: names, functions, labels of wires, when a feed is hot, where a thing continues.

The caller gives the parts that need more than the harness (solved states, sheet numbers, the layout); each has a plain default.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ..diagram.graph import Piece
from ..drawing.lettering import text_width
from ..model.harness import Harness, Wire
from ..trade.colours import Colour, print_colour
from ..trade.sizes import print_size
from .figure import TEXT, Line, lines_of, tight

NAME_WIDTH = 21.0
"""Where a title beside a symbol breaks."""
TOGETHER = re.compile(r"p\. \d+(?:, [A-Z]\d)?|\d+, [A-Z]\d|\S+")
"""What of the words ``rest sheet 22 p. 1, C5`` stays on one line."""
REST_WIDTH = 28.0
"""Where the words break that say where the rest of a thing is."""


def nothing(_: str) -> str:
    return ""


def no_words(_: tuple[str, ...]) -> tuple[str, ...]:
    return ()


def no_numbers(_: str) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True, slots=True)
class Printed:
    """convention: of the colours; hot: address -> "hot in run and start" or ""; where: id -> its field on the layout or ""; note: address -> what stands behind a thing that goes on
    elsewhere; rest: id of a part or small device shown in part -> where the rest is; joins: wire -> the numbers of its joins;
    also: id of a fuse, link or ground -> what else is said of it, line by line; goes_on: contacts a page ends at -> the sheets they are on, line by line; tells_hot: wherever a splice or bus bar goes on elsewhere,
    not at feeds alone, when it is hot is said."""

    harness: Harness
    convention: str
    hot: Callable[[str], str] = nothing
    where: Callable[[str], str] = nothing
    note: Callable[[str], str] = nothing
    rest: Callable[[str], str] = nothing
    joins: Callable[[str], tuple[str, ...]] = no_numbers
    also: Callable[[str], Sequence[str]] = no_numbers
    goes_on: Callable[[tuple[str, ...]], Sequence[str]] = no_words
    tells_hot: bool = False

    def label(self, wire: Wire) -> tuple[Piece, ...]:
        """Number, size (clearly apart from it), colour, swatch; what is not known says so."""
        size = (wire.size.number if wire.size.system == "mm2" else print_size(wire.size)) if wire.size else "size ?"
        colour = print_colour(wire.colour, self.convention) if wire.colour else "colour ?"
        numbers = [*(number for number in self.joins(wire.id) if number != wire.id), wire.id]
        pieces = [*map(Piece, numbers[:-1]), Piece(numbers[-1], apart=True), Piece(size), Piece(colour)]
        if swatch := swatch_letters(wire.colour):
            pieces.append(Piece(swatch=swatch))
        return tuple(pieces)

    def name(self, id: str, title: str, width: float = NAME_WIDTH, most: int = 3) -> list[Line]:
        """The id, bold, with its field on the layout, and the title."""
        title = "" if title == id else title
        room = max(width, max((text_width(word, TEXT) + 0.01 for word in title.split()), default=0.0))
        where = self.where(id)
        return [Line(id, True, f"({where})" if where else ""), *(lines_of(title, room, most) if title else [])]

    def rest_lines(self, id: str) -> list[Line]:
        """Where the rest of a thing is, in narrow lines; page and field stay together."""
        lines: list[str] = []
        for words in TOGETHER.findall(self.rest(id)):
            longer = f"{lines[-1]} {words}" if lines else words
            if lines and text_width(longer, TEXT) > REST_WIDTH:
                lines.append(words)
            else:
                lines[-1:] = [longer]
        return [Line(line) for line in lines]

    def function(self, address: str, most: int) -> list[Line]:
        """What a pin does, in at most so many narrow lines; nothing where nobody said."""
        contact = self.harness.contacts.get(address)
        return tight(contact.function, most) if contact is not None and contact.function else []


def swatch_letters(colour: Colour | None) -> tuple[str, ...]:
    """A colour as drawing.swatch takes it: IEC letters, base first, ``LT ``/``DK `` before a shade."""
    if colour is None:
        return ()
    shade = {"light": "LT ", "dark": "DK "}
    return tuple(shade.get(tint.shade, "") + tint.code for tint in (colour.base, *colour.stripes))

"""The harness: one vocabulary of frozen dataclasses, no behaviour beyond look-up.

Made by ``model/build.py`` from the records of a description; taken by every
later room. Ids are text. Numbers carry their unit in the name. ``None`` in a
field that can hurt (size, colour, far end, fuse rating, insulation) means
*unknown*: it is printed as an empty box and counted on the cover.

The large classes compare by identity (``eq=False``): nobody compares whole wires, and
making the comparisons costs a quarter of the program's start.

Every object carries ``source``, the record it was read from; ask
``source.place()`` or ``source.place_of(key)`` where it stands.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from ..description.text import Record
from ..description.units import Length, Quantity
from ..trade.colours import Colour
from ..trade.sizes import Size
from ..trade.wire_types import WireType

if TYPE_CHECKING:
    from ..description.measures import Curve, Pulses
    from .electric import Inside, Load, NamedLoad, State, Supply

UNKNOWN = "unknown"
"""The far end of a wire that is not found out yet."""
OPEN = "open"
"""The end of a wire that is left unconnected on purpose."""
NEAR = ("fuel", "exhaust", "moving part")
"""What a segment may run near."""


class View(Enum):
    """The side from which a face is seen."""

    MATING = "mating face"
    WIRE = "wire side"

    @property
    def other(self) -> View:
        return View.WIRE if self is View.MATING else View.MATING


class Kind(Enum):
    """What a contact is."""

    CAVITY = "cavity"      # in a connector: one terminal, one wire unless a double crimp
    SOCKET = "socket"      # of a fuse, fusible link or relay: as a cavity
    STUD = "stud"          # terminal of a device, diode or resistor: any number of wires
    BAR = "bar"            # copper in a box: any number of wires
    SPLICE = "splice"
    GROUND = "ground"


@dataclass(frozen=True, slots=True)
class Spot:
    """One cavity on a face: centre and size, x to the right, y up, in pitches or mm."""

    cavity: str
    x: float
    y: float
    wide: float = 1.0
    high: float = 1.0


@dataclass(frozen=True, slots=True)
class Face:
    """A connector face as written: the spots in cavity order, seen from ``view``.

    shape: "rows", "ring" or "xy"; unit: "pitch" or "mm"; lock and entry: "top",
    "right", "bottom" or "left" in that view (lock "" where not stated, entry "" where straight
    from behind).
    """

    spots: tuple[Spot, ...]
    view: View
    shape: str
    unit: str
    lock: str
    entry: str


@dataclass(frozen=True, slots=True, eq=False)
class Connector:
    id: str
    title: str
    place: str | None
    half: str | None            # "plug", "socket"
    face: Face | None
    cavities: tuple[str, ...]   # addresses within the connector, in the order of the face
    photo: str
    housing: str
    mates: str | None           # the other half of an in-line connector
    service: Length | None
    device: str | None          # the device that owns it
    note: str
    evidence: str
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Contact:
    """A cavity, terminal, splice, ground or bar: one potential.

    terminal, seal, plug: what is in it as it stands, with a wire or without; fits: the three
    as said of it or of its owner, whatever is in it; inside: None where nothing is said of that.
    bit_rate: in bit/s; pulses, curve: of a sender or sensor what it gives, of a gauge or input what it is
    made for; clamp: of an output that switches to ground, V; monitored: the device checks that something is there.
    """

    address: str
    owner: str
    name: str                   # the part after the last dot; "" for a splice or ground
    kind: Kind
    function: str
    signal: str                 # kind of signal, "" where not said
    circuit: str
    terminal: str
    seal: str
    plug: str
    double: bool                # two wires in one terminal on purpose
    limit: Quantity | None
    draws: Quantity | None
    note: str
    evidence: str
    fits: tuple[str, str, str]
    inside: Inside | None = field(default=None, kw_only=True)
    bus: str = field(default="", kw_only=True)
    bit_rate: Quantity | None = field(default=None, kw_only=True)
    pulses: Pulses | None = field(default=None, kw_only=True)
    curve: Curve | None = field(default=None, kw_only=True)
    clamp: Quantity | None = field(default=None, kw_only=True)
    monitored: bool = field(default=False, kw_only=True)
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Wire:
    """One conductor. ``from_`` and ``to`` are addresses, UNKNOWN or OPEN."""

    id: str
    from_: str
    to: str
    size: Size | None
    colour: Colour | None
    colour_as_stated: str       # as in the file, in the convention of the file
    convention: str
    type: WireType | None
    circuit: str
    length: Length | None       # measured
    via: tuple[str, ...]        # segments or places
    pair: str | None
    cable: str | None
    core: str                   # "core" or "drain"; matters only in a cable
    diameter_mm: float | None   # measured over the insulation
    evidence: str
    note: str
    free_air: Quantity | None = field(default=None, kw_only=True)   # stated, A
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Cable:
    id: str
    title: str
    part: str
    shield: str | None          # "none", "foil", "braid", "foil and braid"
    diameter_mm: float | None
    colour: Colour | None
    lay_mm: float | None
    length: Length | None
    note: str
    wires: tuple[str, ...]      # cores and drain, in the order of the file
    evidence: str = field(default="", kw_only=True)
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Pair:
    id: str
    title: str
    lay_mm: float | None
    twisted_mm: float | None
    note: str
    wires: tuple[str, ...]
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Offset:
    """A position on the bundle: ``mm`` from ``origin`` toward ``toward``, as stated."""

    length: Length
    origin: str
    toward: str


@dataclass(frozen=True, slots=True, eq=False)
class Splice:
    id: str
    title: str
    place: str | None
    at: Offset | None
    method: str
    sleeve: str
    shrink: str
    join: str
    members_unknown: bool
    note: str
    evidence: str
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    id: str
    title: str
    place: str | None
    stud: str
    metal: str | None
    terminal: str
    note: str
    evidence: str
    hinged: bool = field(default=False, kw_only=True)       # the metal hangs on hinges
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Bar:
    address: str                # BOX.BAR
    box: str
    name: str
    joins: tuple[str, ...]      # addresses


@dataclass(frozen=True, slots=True, eq=False)
class Box:
    id: str
    title: str
    place: str | None
    lid: tuple[tuple[str, ...], ...]   # rows from the top down; "" is a gap
    lid_view: str
    bars: tuple[Bar, ...]
    spare: tuple[str, ...]
    photo: str
    note: str
    evidence: str = field(default="", kw_only=True)
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A component with terminals of its own: what all of the next have in common.

    kind: "fuse", "fusible link", "relay", "diode" or "resistor".
    terminals: names in order, each an address ID.NAME.
    details: fields that only this kind has (see the classes' keys in the schema),
    as stated, for printing.
    """

    id: str
    kind: str
    title: str
    box: str | None
    place: str | None
    terminals: tuple[str, ...]
    rating: Quantity | None
    size: Size | None           # fusible link
    value: Quantity | None    # resistor; coil of a relay
    power: Quantity | None         # resistor
    contacts: str | None        # relay: "make", "changeover", "two 87", "break"
    suppression: str | None     # relay: "none", "diode", "resistor"
    commanded_by: str           # relay
    feeds: str
    circuit: str
    type: str                   # kind of fuse or relay; part of a diode or resistor, of a relay where no kind is said
    note: str
    evidence: str
    part: str = field(default="", kw_only=True)                     # of a relay: a row of trade/relay_parts
    pull_in: Quantity | None = field(default=None, kw_only=True)    # of a relay, V
    release: Quantity | None = field(default=None, kw_only=True)    # of a relay, V
    resistance: Quantity | None = field(default=None, kw_only=True) # of a fuse, cold, ohm
    drop: Quantity | None = field(default=None, kw_only=True)       # of a fuse, at its rating, V
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Device:
    """What sits at the end of wires.

    between: the two addresses that ``supply`` or ``load`` sits between, as stated
    lamp:    as stated, read or not; read it is the load
    rest:    the position of ``closes`` it is in by itself; None: nothing is closed
    stays_with: devices it works with only; a name that is no device is a partner that is not there
    """

    id: str
    title: str
    place: str | None
    connectors: tuple[str, ...]
    terminals: tuple[str, ...]              # names; each an address ID.NAME
    links: tuple[tuple[str, str], ...]      # addresses joined inside for good
    closes: Mapping[str, tuple[tuple[str, str], ...]]
    lamp: str
    between: tuple[str, str] | None
    note: str
    evidence: str
    rest: str | None = field(default=None, kw_only=True)
    supply: Supply | None = field(default=None, kw_only=True)
    load: Load | None = field(default=None, kw_only=True)
    loads: Mapping[str, NamedLoad] = field(default_factory=dict, kw_only=True)
    stays_with: tuple[str, ...] = field(default=(), kw_only=True)
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Circuit:
    id: str
    title: str
    system: str
    number: str
    hot: tuple[str, ...] | None
    note: str
    pulsed: bool = field(default=False, kw_only=True)       # left out of the solve
    source: Record | None = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Segment:
    """A stretch of bundle between two points.

    near:  ``fuel``, ``exhaust``, ``moving part`` -> clearance, as far as stated
    bend:  the smallest radius it is bent to; clips: the distance between its clips
    slack: spare length where it bridges to a part that moves
    covering_wall: how thick its covering is; sections: name of a station at which it is drawn cut across -> from the ``from`` end
    """

    id: str
    from_: str
    to: str
    length_mm: float | None
    length_as_stated: str
    covering: str
    zone: str | None
    grommet_mm: float | None
    note: str
    evidence: str = field(default="", kw_only=True)
    near: Mapping[str, Length] = field(default_factory=dict, kw_only=True)
    bend: Length | None = field(default=None, kw_only=True)
    clips: Length | None = field(default=None, kw_only=True)
    slack: Length | None = field(default=None, kw_only=True)
    covering_wall: Length | None = field(default=None, kw_only=True)
    sections: Mapping[str, Length] = field(default_factory=dict, kw_only=True)
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Point:
    """A point where segments end (``place:``); ``source``: of a point that only segments name, the first of them."""

    id: str
    title: str
    zone: str | None
    note: str
    source: Record = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class TerminalKind:
    """What a terminal takes, by what ``terminal`` of its contacts calls it: conductors from ``least`` to ``most``."""

    id: str
    least: Size
    most: Size
    note: str
    evidence: str
    source: Record = field(repr=False, compare=False)

    def __str__(self) -> str:
        return ", ".join(filter(None, (f"{self.least.stated} to {self.most.stated}", self.note, self.evidence)))


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that was looked at and is accepted; at: what it lies at, as findings name it (``wire 12``, ``F3``, ``E1.13``)."""

    at: str
    code: str
    reason: str
    date: str                   # year-month-day
    source: Record = field(repr=False, compare=False)

    def __str__(self) -> str:
        return f"{self.code} at {self.at} on {self.date}: {self.reason}"


@dataclass(frozen=True, slots=True)
class Allowances:
    """What is added to a routed length, in mm (design: trade.md 6.2, common practice)."""

    end_mm: float = 50.0
    splice_mm: float = 10.0
    step_mm: float = 50.0        # round up to a multiple of this; 0 is off
    above_mm: float | None = 2000.0
    step_above_mm: float = 100.0


@dataclass(frozen=True, slots=True)
class Revision:
    revision: str
    date: str                   # year-month-day
    by: str
    reading: str
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class Harness:
    """The whole. Every mapping keeps the order of the description.

    supply: the nominal voltage as stated; supplies: the devices that give it, without which
        nothing is solved; key_switch: the device that is the key switch
    zones:  ambient temperature in C by zone, where stated
    ampacity: the table that says what a wire may carry, one of trade.ampacity.TABLES
    terminals: by the name that contacts give them; no ids, and no part of an address
    rule_options: code of a rule -> its options as written; which there are the rules know
    """

    title: str
    owner: str
    number: str
    by: str
    approved: str
    note: str
    supply: str
    convention: str | None      # of the main file
    log: tuple[Revision, ...]
    allowances: Allowances
    points: Mapping[str, Point]
    segments: Mapping[str, Segment]
    devices: Mapping[str, Device]
    connectors: Mapping[str, Connector]
    contacts: Mapping[str, Contact]         # by address
    boxes: Mapping[str, Box]
    parts: Mapping[str, Part]
    splices: Mapping[str, Splice]
    grounds: Mapping[str, Ground]
    circuits: Mapping[str, Circuit]
    cables: Mapping[str, Cable]
    pairs: Mapping[str, Pair]
    wires: Mapping[str, Wire]
    wires_at: Mapping[str, tuple[str, ...]]  # address -> wires that end there
    place_of: Mapping[str, str]              # owner id -> the point at which it sits
    supplies: tuple[str, ...]
    key_switch: str | None
    states: Mapping[str, State]
    zones: Mapping[str, Quantity]
    ampacity: str
    terminals: Mapping[str, TerminalKind]
    rule_options: Mapping[str, Record]
    waivers: tuple[Waiver, ...]
    file: str                                # name of the main file, without folder
    source: Record = field(repr=False)       # the main file

    def seat(self, id: str) -> str | None:
        """The point at which a thing sits; of a device without a place that of its first connector that has one; None unknown."""
        device = self.devices.get(id)
        return next((self.place_of[one] for one in (id, *(device.connectors if device else ())) if one in self.place_of), None)

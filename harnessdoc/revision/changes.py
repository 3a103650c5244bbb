"""What a change is: one vocabulary of frozen dataclasses.

Made by ``revision/compare.py`` from two harnesses; taken by the rework steps, the
marked sheets and the lists. Ids and addresses of the old version stand as they were
then, those of the new as they are now; `revision.pairing.Pairing` leads from one to
the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from ..findings import Place


class ChangeKind(Enum):
    """What kind of change; the value is the word on every output."""

    ADDED = "added"
    REMOVED = "removed"
    RENAMED = "renamed"
    MOVED = "moved"                      # an end, or what is said of a cavity, goes to another cavity of the same owner
    RE_ENDED = "re-ended"                # an end goes to something else
    SPLICED = "spliced"                  # an end goes into a splice
    UNSPLICED = "unspliced"              # an end comes out of a splice
    RECOLOURED = "recoloured"
    RESIZED = "resized"
    RE_ROUTED = "re-routed"              # via, place, position, the ends of a segment
    RE_LENGTHENED = "re-lengthened"      # lengths and allowances
    RE_TWISTED = "re-twisted"            # pair, cable, lay
    PART_CHANGED = "part changed"
    USE_CHANGED = "use changed"          # what it does: signal, circuit, what a switch closes
    NOW_KNOWN = "unknown now known"
    NO_LONGER_KNOWN = "known now unknown"
    TEXT_ONLY = "text only"              # title, note, evidence: nothing to do at the harness

    @property
    def mirror(self) -> ChangeKind:
        """The kind of the same change seen from the new version to the old."""
        return _MIRRORS.get(self, self)


_MIRRORS = {
    ChangeKind.ADDED: ChangeKind.REMOVED, ChangeKind.REMOVED: ChangeKind.ADDED,
    ChangeKind.SPLICED: ChangeKind.UNSPLICED, ChangeKind.UNSPLICED: ChangeKind.SPLICED,
    ChangeKind.NOW_KNOWN: ChangeKind.NO_LONGER_KNOWN, ChangeKind.NO_LONGER_KNOWN: ChangeKind.NOW_KNOWN,
}


class Thing(Enum):
    """What has changed; the value is the trade's word for one of it."""

    HARNESS = "harness"       # title block, supply, allowances, log; its id is ""
    WIRE = "wire"
    CABLE = "cable"
    PAIR = "pair"
    CONNECTOR = "connector"
    CONTACT = "contact"       # what is said of a cavity, terminal, splice, ground or bar; its id is the address
    DEVICE = "device"
    BOX = "box"
    PART = "part"             # fuse, fusible link, relay, diode, resistor
    SPLICE = "splice"
    GROUND = "ground"
    CIRCUIT = "circuit"
    SEGMENT = "segment"
    POINT = "place"
    # of a merge; the id of a fate is that of its wire
    SOURCE = "source"
    FATE = "fate of wire"
    JOIN = "join"
    FAR_HALF = "far half"
    INTERFACE = "interface"
    OPEN_END = "open on purpose"


@dataclass(frozen=True, slots=True)
class Change:
    """One change of one thing.

    old_id, new_id: None where the thing is only in the other version
    key:  the key of the language that changed ("colour", "size", "via"); "end" for an end of
          a wire; "" where the whole thing was added, removed or renamed
    old, new: the values as the model has them (of an end: the address, UNKNOWN or OPEN), None
          where there is none; for an added or removed thing the model object itself
    was, now: the same in words, as printed; "" for none
    why:  for a renamed thing (and what is told of it) by what it was known again; "" where by its id
    old_place, new_place: where it stands in the files, None where it does not
    """

    kind: ChangeKind
    thing: Thing
    old_id: str | None
    new_id: str | None
    key: str
    old: object
    new: object
    was: str
    now: str
    why: str
    old_place: Place | None
    new_place: Place | None

    @property
    def id(self) -> str:
        """The id by which a reader finds it: that of the new version where it is there."""
        return self.new_id if self.new_id is not None else self.old_id or ""

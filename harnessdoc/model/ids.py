"""Ids: which are refused, and what may not be said twice.

Takes: the sections of all documents. Gives: for each section one map id -> record
in the order of the files, and findings for ids that cannot be told apart.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from os.path import commonprefix

from ..description.text import Record
from ..findings import Place, Related
from .harness import OPEN, UNKNOWN
from .values import Values

OWNERS = ("devices", "connectors", "boxes", "fuses", "fusible-links", "relays", "diodes", "resistors", "splices", "grounds")
"""The sections whose ids begin an address: they share one name space."""
OTHERS = ("places", "segments", "circuits", "cables", "pairs", "wires", "cavities", "states")
_ONE = {"boxes": "box", "fusible-links": "fusible link", "cavities": "cavity"}
_LONGEST_ID = 60
_RESERVED = (UNKNOWN, OPEN)
# Nearly every id; what this does not match is looked at letter by letter.
_PLAIN = re.compile(rf"[A-Za-z0-9_.+#-]{{1,{_LONGEST_ID}}}").fullmatch
_NUMBERED = re.compile(r"(|.*[/.])([0-9]{1,9})").fullmatch
_INVISIBLE = ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")


def one_of(section: str) -> str:
    """The word for one entry of a section: ``boxes`` -> ``box``."""
    return _ONE.get(section, section.removesuffix("s"))


def gather(values: Values, documents: Sequence[Record], sources: Collection[str] = ()) -> dict[str, dict[str, tuple[Record, Record]]]:
    """Section -> id -> (entry, document), without entries whose id is refused.

    An entry with no map behind it (``X1:``) was reported by the reader or the schema
    check and is left out here. sources: names that may stand before an id (``donor/E1``), in a merge.
    """
    sections: dict[str, dict[str, tuple[Record, Record]]] = {}
    owners = Seen(values)
    for section in (*OWNERS, *OTHERS):
        entries: dict[str, tuple[Record, Record]] = {}
        seen = owners if section in OWNERS else Seen(values)
        for document in documents:
            written = document.get(section)
            if not isinstance(written, Record):
                continue
            for name, entry in written.items():
                if not isinstance(entry, Record):
                    continue
                if fault := id_fault(own_part(name, sources)):
                    refuse(values, f"the id of {one_of(section)} '{printable(name)}'", fault, written.place_of_key(name))
                elif seen.is_new(name, section, written):
                    entries[name] = (entry, document)
        sections[section] = entries
    return sections


@dataclass(slots=True)
class Seen:
    """The ids of one name space so far, folded to one case."""

    values: Values
    by_fold: dict[str, tuple[str, str, Record]] = field(default_factory=dict)

    def is_new(self, name: str, section: str, written: Record) -> bool:
        """Whether nothing has this id yet; else a finding says what has."""
        mine = (name, section, written)
        before = self.by_fold.setdefault(name.casefold(), mine)
        if before is mine:
            return True
        first, its_section, its_record = before
        place = written.place_of_key(name)
        related = Related(its_record.place_of_key(first), f"{one_of(its_section)} {first} stands here")
        if first == name:
            self.values.error("duplicate-id", f"{one_of(section)} {name} has the id of {one_of(its_section)} {first}", place,
                              "give one of the two another id", related)
        else:
            report_case(self.values, f"{one_of(section)} {name} and {one_of(its_section)} {first}", place, related)
        return False


def report_case(values: Values, both: str, place: Place, related: Related) -> None:
    """A finding: two ids that differ only in case."""
    values.error("ids-differ-by-case", f"{both} differ only in case", place, "at the bench they are one name: give one of the two another id", related)


def refuse(values: Values, what: str, fault: str, place: Place) -> None:
    """A finding: an id that cannot be used. what: "the id of wire 'a/b'"; fault: from `id_fault`."""
    values.error("bad-id", f"{what} {fault}", place, "give it another: letters, digits and marks such as - _ + #")


def no_such(values: Values, code: str, name: str, known: Collection[str], what: str, where: str, place: Place) -> None:
    """A finding: ``where`` names something that is not in the description."""
    near = nearest(name, known)
    do = f"did you mean {near}?" if near else f"the description has {spread(known)}"
    values.error(code, f"{where} names '{printable(name)}', but there is no such {what}", place, do)


def own_part(name: str, sources: Collection[str]) -> str:
    """An id without the name of a source before it."""
    source, slash, own = name.partition("/")
    return own if slash and source in sources else name


def id_fault(name: str) -> str:
    """What is wrong with an id, as words that follow it; "" where nothing is."""
    if _PLAIN(name):
        return f"is the word `{name.lower()}`, which has a meaning of its own" if name.lower() in _RESERVED else ""
    if not name.strip():
        return "is empty"
    if len(name) > _LONGEST_ID:
        return f"has {len(name)} characters; at most {_LONGEST_ID} fit a label"
    if name != name.strip():
        return "begins or ends with a space"
    for character in name:
        if character in "/\\":
            return f"has a `{character}` in it" + (": a slash is kept for host/ and donor/ of a merge" if character == "/" else "")
        if unicodedata.category(character) in _INVISIBLE:
            return f"has the invisible character U+{ord(character):04X} in it"
    return ""


def name_fault(name: str) -> str:
    """What is wrong with the part of an address behind the dot: a cavity, terminal or bar."""
    return id_fault(name) or ("has a dot in it: the last dot of an address divides" if "." in name else "")


def nearest(written: str, known: Iterable[str]) -> str:
    """The id nearest to what is written, in any case of letters; "" where none is near.

    A number is near another only where one slip leads to it (two digits that changed places, one too many, one that is
    missing, one that is wrong) and to no other as well: `donor/999` means neither 569 nor, where 899 is there too, 599.
    """
    by_fold = {name.casefold(): name for name in known}
    if number := _NUMBERED(written.casefold()):
        slips = [(slip, fold) for fold in by_fold if (other := _NUMBERED(fold)) and other[1] == number[1] and (slip := _slip(number[2], other[2])) is not None]
        if slips:
            likeliest = [fold for slip, fold in slips if slip == min(slips)[0]]
            return by_fold[likeliest[0]] if len(likeliest) == 1 else ""
        by_fold = {fold: name for fold, name in by_fold.items() if not (other := _NUMBERED(fold)) or other[2] == number[2]}
    near = get_close_matches(written.casefold(), list(by_fold), n=1, cutoff=0.6)
    return by_fold[near[0]] if near else ""


def _slip(written: str, meant: str) -> tuple[int, int] | None:
    """How likely a slip leads from a number to another, the likeliest least: by its kind, then the later the likelier; None where it takes more than one."""
    late = -len(commonprefix((written, meant)))
    if len(written) == len(meant):
        wrong = [position for position, (one, other) in enumerate(zip(written, meant, strict=True)) if one != other]
        if len(wrong) == 2 and wrong[1] == wrong[0] + 1 and written[wrong[0]] == meant[wrong[1]] and written[wrong[1]] == meant[wrong[0]]:
            return 0, late
        return (2, late) if len(wrong) == 1 and len(written) > 1 else None
    shorter, longer = sorted((written, meant), key=len)
    return (1, late) if len(longer) == len(shorter) + 1 and any(longer[:cut] + longer[cut + 1:] == shorter for cut in range(len(longer))) else None


def printable(name: str) -> str:
    """An id for a message: invisible characters as their code points."""
    if name.isprintable():
        return name
    return "".join(f"<U+{ord(c):04X}>" if unicodedata.category(c) in _INVISIBLE else c for c in name)


def names(entries: Iterable[str], most: int = 6) -> str:
    """A list of ids for a message, cut short."""
    listed = list(entries)
    if not listed:
        return "none yet"
    return ", ".join(listed[:most]) + (f" and {len(listed) - most} more" if len(listed) > most else "")


def spread(entries: Iterable[str], most: int = 6) -> str:
    """A list of ids for a message: those that are numbers as ``1 to 603``, the others cut short."""
    listed = list(entries)
    numbers = sorted(int(name) for name in listed if name.isascii() and name.isdecimal() and len(name) < 10)
    if len(numbers) <= most:
        return names(listed, most)
    others = [name for name in listed if not (name.isascii() and name.isdecimal() and len(name) < 10)]
    return f"{numbers[0]} to {numbers[-1]}" + (f"; {names(others, most)}" if others else "")

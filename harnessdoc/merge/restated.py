"""Parts and splices of a source that are to be otherwise than found: another fuse in its holder, a relay with a resistor across its coil.

Takes: the entries of the merge file that stand under the id of a source's thing (``fuses: {host/F3: {rating: 8 A}}``). Gives: the
changes, into the edits, and what is said of each thing, in words. Nothing in a source changes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..description.text import Items, Record, Value
from ..model.ids import OWNERS, nearest, one_of, printable, spread
from ..model.values import Values
from .edits import Change, Edits
from .plan import Source
from .records import filtered

RESTATED: Mapping[str, tuple[str, ...]] = {
    "fuses": ("rating", "type", "resistance", "drop"),
    "fusible-links": ("size", "rating"),
    "relays": ("rating", "type", "suppression", "coil", "pull-in", "release"),
    "diodes": ("part", "rating"),
    "resistors": ("part", "value", "power"),
    "splices": ("members", "method", "sleeve", "shrink"),
    "cavities": ("crimp", "terminal", "seal", "plug"),
}
"""Section -> what another part in the same place, or the splice or terminal made anew, has otherwise. Where a thing sits and what ends at it is not
said so: `places`, fates and joins say that."""
_BESIDE = ("title", "note", "evidence")
_SECTIONS = (*OWNERS, "cavities", "wires")


def read_restated(values: Values, documents: Sequence[Record], sources: Mapping[str, Source], described: Mapping[str, Record], gone: Mapping[str, str], edits: Edits) -> dict[str, str]:
    """Thing of a source -> what is to be otherwise: ``rating 8 A, as found 16 A``.

    described: what the sources say of cavities, by address; gone: things that leave -> why, in words.
    A name that its source does not have, or a key that may not change, is a finding.
    """
    found: dict[str, str] = {}
    for document in documents:
        for section in _SECTIONS:
            written = document.get(section)
            for id, entry in written.items() if isinstance(written, Record) else ():
                if isinstance(entry, Record) and is_restated(section, id, sources, described) and _is_good(values, section, id, entry, written, sources, gone):
                    if id in found:
                        values.error("duplicate-id", f"`{section}` has {printable(id)} in two files", written.place_of_key(id), "keep one of the two")
                        continue
                    stated = described[id] if section == "cavities" else _record(sources, id)
                    found[id] = ", ".join(f"{key} {_words(value)}, as found {_words(stated.get(key))}" for key, value in entry.items() if key not in _BESIDE)
                    edits.change(section, id, _over(entry))
    return found


def described_cavities(documents: Mapping[str, Sequence[Record]]) -> dict[str, Record]:
    """Address in the merge -> what its source says of it. documents: source -> its own."""
    return {f"{name}/{address}": entry for name, own in documents.items() for document in own if isinstance(written := document.get("cavities"), Record)
            for address, entry in written.items() if isinstance(entry, Record)}


def without_restated(own: Record, sources: Mapping[str, Source], described: Mapping[str, Record]) -> Record:
    """A document of the merge without what it says of the sources' things, which stand in their own."""
    def stands_there(section: str, id: str) -> bool:
        name, _, own_id = id.partition("/")
        return is_restated(section, id, sources, described) and own_id in _things(sources[name], section)

    for section in _SECTIONS:
        written = own.get(section)
        if isinstance(written, Record) and any(stands_there(section, id) for id in written):
            own = own.replaced(section, filtered(written, lambda id, _, section=section: not stands_there(section, id)), written.mark, written.mark)
    return own


def is_restated(section: str, id: str, sources: Mapping[str, Source], described: Mapping[str, Record]) -> bool:
    """Whether an entry speaks of what a source describes. Of a cavity of which that says nothing, the merge is the first to speak."""
    name, slash, _ = id.partition("/")
    return bool(slash) and name in sources and (section != "cavities" or id in described)


def _is_good(values: Values, section: str, id: str, entry: Record, written: Record, sources: Mapping[str, Source], gone: Mapping[str, str]) -> bool:
    source = sources[id.partition("/")[0]]
    place, one = written.place_of_key(id), one_of(section)
    own, known = id.partition("/")[2], _things(source, section)
    if own not in known:
        near = nearest(own, known)
        has = f"did you mean {source.id(near)}?" if near else f"{source.name} has {spread(known)};" if known else f"{source.name} has no {section};"
        values.error("restated-nothing", f"`{section}` of the merge names {printable(id)}, and {source.file} has no such {one}", place, f"{has} a {one} of your own has an id without a slash: {printable(own)}")
        return False
    if section not in RESTATED:
        values.error("restated-otherwise", f"`{section}` of the merge names {one} {id}, which is of {source.file}", place,
                     f"write in {source.file} what was found there; in the vehicle as it will be: remove {id} by a line of `fates`, and write a {one} of your own under another id")
        return False
    if id in gone:
        values.error("restated-nothing", f"`{section}` of the merge says what is to be of {id}, which leaves ({gone[id]})", place, f"take {id} out here, or let it stay by a later line of `fates`")
        return False
    for key in entry:
        if key not in (*RESTATED[section], *_BESIDE):
            may = ", ".join(f"`{one}`" for one in (*RESTATED[section], *_BESIDE))
            values.error("restated-otherwise", f"`{section}` of the merge says `{key}` of {id}, which is of {source.file}", entry.place_of_key(key),
                         f"of a {one} of a source a merge may change {may}; where it sits say `places`, what ends at it fates and joins")
            return False
    return True


def _things(source: Source, section: str) -> Sequence[str]:
    harness = source.harness
    if section == "cavities":
        return list(harness.contacts)
    kinds = {"fuses": "fuse", "fusible-links": "fusible link", "relays": "relay", "diodes": "diode", "resistors": "resistor"}
    if section in kinds:
        return [part.id for part in harness.parts.values() if part.kind == kinds[section]]
    return list(getattr(harness, section))


def _record(sources: Mapping[str, Source], id: str) -> Record:
    name, _, own = id.partition("/")
    harness = sources[name].harness
    return (harness.parts.get(own) or harness.splices[own]).source


def _over(entry: Record) -> Change:
    """What is said here, and beside it what was found and is not said anew; it stands where the merge says it."""
    def change(stated: Record) -> Record:
        out = Record(entry.source, entry.mark)
        for position, (key, value) in enumerate(entry.items()):
            out.add(key, value, entry.marks[2 * position], entry.marks[2 * position + 1])
        for key, value in stated.items():
            if key not in entry:
                out.add(key, value, entry.mark, entry.mark)
        return out
    return change


def _words(value: Value) -> str:
    return ", ".join(map(str, value)) if isinstance(value, Items) else value if isinstance(value, str) else "not said"

"""From a merge file to plain documents, and to what was decided.

Takes: the documents of the merge file (main file first). Gives: documents that ``build_harness`` takes
as those of any description, and the Merge. In this order: the sources are read and built by
themselves; places, fates, interfaces and joins are looked up in them; then each source's records are written anew under
its prefix, without what leaves, with what is cut; and the merge's own stand behind.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from string import ascii_lowercase

from ..description.text import Items, Record, SourceText
from ..findings import Finding, Related, Severity
from ..model.harness import OPEN, UNKNOWN
from ..model.ids import OWNERS, printable
from ..model.values import Values
from .causes import causes, is_made
from .edits import Edits
from .ends import astray
from .fates import Fates, read_fates
from .interfaces import Expanded, expand_interfaces, fitting, spare_positions
from .joins import Joined, read_joins
from .keys import MERGE_KEYS
from .leaving import cleaned, leaving
from .placing import Placed, read_places
from .numbers import next_number
from .plan import Decision, Fate, Interface, Join, Merge, Source
from .prefix import SECTIONS, Naming, prefixed
from .records import filtered, with_value
from .restated import described_cavities, read_restated, without_restated
from .sources import Read, read_sources

_FALLS_BACK = ("supply", "zones", "ampacity", "allowances")
"""What the host's description says once for the vehicle, where the merge file does not."""


@dataclass(frozen=True, slots=True)
class Assembled:
    """documents: the first holds what is said once; merge: None where the sources could not be read; texts: those of the sources.

    is_whole: all was read, and each join and interface is made; else what lies at them cannot be judged.
    """

    documents: tuple[Record, ...]
    merge: Merge | None
    texts: tuple[SourceText, ...]
    findings: tuple[Finding, ...]
    is_whole: bool

    def not_said_yet(self, findings: Sequence[Finding]) -> list[Finding]:
        """Findings of the merged build, without those that a source has given of the same line by itself."""
        said = {(finding.code, finding.place) for finding in self.findings}
        return [finding for finding in findings if (finding.code, finding.place) not in said]


def assemble(documents: Sequence[Record], texts: Mapping[str, str | bytes] | None = None, is_whole: bool = True) -> Assembled:
    """The merge of the sources that the first document names.

    texts: as for ``load_files``; is_whole: False where lines of the documents had to be left out.
    """
    main = documents[0]
    read = read_sources(main["sources"], texts)
    if not read.is_usable:
        return Assembled(tuple(documents), None, read.texts, read.findings, False)
    values, edits, sources = Values(), Edits(), read.sources
    joins, interfaces, open_ends = (_gathered(values, documents, key) for key in ("joins", "interfaces", "open"))
    placed = read_places(values, documents, sources, (*joins, *interfaces), edits)
    fates = read_fates(values, _lines(documents), sources)
    expanded = expand_interfaces(values, interfaces, sources, placed.added, edits)
    own = _own_ids(documents, joins, edits)
    joined = read_joins(values, joins, sources, fates, placed.added, expanded.ends, own, edits)
    _names_are_one(values, joins, interfaces)
    _open_is_there(values, documents, sources, own)
    merge = _decide(values, documents, sources, described_cavities(read.documents), fates, expanded, joined, open_ends, edits)
    is_whole = is_whole and read.is_whole
    findings = causes(values.findings, joins, interfaces, merge, is_whole)
    return Assembled(tuple(_documents(documents, read, placed, merge, edits)), merge, read.texts, (*read.findings, *findings), is_whole and is_made(joins, interfaces, merge))


def _gathered(values: Values, documents: Sequence[Record], key: str) -> Record:
    """A section of the merge from all its files; what stands twice is a finding, and the first counts."""
    first: dict[str, Record] = {}
    out = Record(documents[0].source, documents[0].mark)
    for document in documents:
        written = document.get(key)
        for position, (name, entry) in enumerate(written.items() if isinstance(written, Record) else ()):
            if name in first:
                values.error("duplicate-id", f"`{key}` has {printable(name)} in two files", written.place_of_key(name), f"keep one; the other stands at {first[name].place_of_key(name)}")
                continue
            first[name] = written
            out.add(name, entry, written.marks[2 * position], written.marks[2 * position + 1])
    return out


def _own_ids(documents: Sequence[Record], joins: Record, edits: Edits) -> dict[str, None]:
    """Ids of what the merge adds itself and that begin an address: in its files, by its interfaces, by its joins."""
    sections = (written for document in documents for section in OWNERS if isinstance(written := document.get(section), Record))
    ids = {id: None for written in sections for id in written} | {id: None for section in OWNERS for id in edits.added.get(section, {})}
    for join, entry in joins.items():
        ends = entry.get("ends") if isinstance(entry, Record) else None
        ids |= {join: None} | {f"{join}{letter}": None for letter, _ in zip(ascii_lowercase, ends if isinstance(ends, Items) else (), strict=False)}
    return ids


def _names_are_one(values: Values, joins: Record, interfaces: Record) -> None:
    for name, entry in joins.items():
        if name in interfaces and isinstance(entry, Record) and isinstance(other := interfaces[name], Record):
            values.error("duplicate-id", f"join {printable(name)} has the number of interface {printable(name)}", entry.place(), "give one of the two another number: `places:` and `through:` name them alike",
                         Related(other.place(), f"interface {printable(name)} stands here"))


def _open_is_there(values: Values, documents: Sequence[Record], sources: Mapping[str, Source], own: Mapping[str, None]) -> None:
    for document in documents:
        written = document.get("open")
        for address in written if isinstance(written, Record) else ():
            if (fault := astray(address, sources, own)) is not None:
                values.error("open-of-nothing", f"`open` names '{printable(address)}'{fault.words}", written.place_of_key(address), fault.do or "mend the name, or take the line out")


def _lines(documents: Sequence[Record]) -> Items:
    """The lines of ``fates:`` of all files, in their order."""
    out = Items(documents[0].source, documents[0].mark)
    for document in documents:
        written = document.get("fates")
        for entry, mark in zip(written, written.marks, strict=True) if isinstance(written, Items) else ():
            out.add(entry, mark)
    return out


def _decide(values: Values, documents: Sequence[Record], sources: Mapping[str, Source], described: Mapping[str, Record], fates: Fates, expanded: Expanded, joined: Joined, open_ends: Record, edits: Edits) -> Merge:
    decisions: dict[str, Decision] = {}
    for source in sources.values():
        for own in source.harness.wires:
            decisions[source.id(own)] = _decision(source.id(own), source, fates, joined)
    gone = leaving(sources, fates.owners, set(_live(documents, sources, decisions, expanded, joined)))
    _ends_of_joins_stay(values, joined, gone)
    _positions_are_free(values, sources, expanded, gone)
    for decision in decisions.values():
        _cut_at_what_leaves(values, decision, sources[decision.source], gone, edits)
    for wire, changes in edits.derived.items():
        source = sources[wire.partition("/")[0]]
        edits.derived[wire] = [(id, lambda entry, change=change: _opened(change(entry), source, gone)) for id, change in changes]
    for decision in decisions.values():
        if decision.fate is Fate.JOINED and not decision.joins:
            values.findings.append(Finding("joined-without-join", Severity.MALFUNCTION, f"wire {decision.wire} is said to be joined, but no join names an end of it", decision.line.place(),
                                           "write the join, or say what becomes of the wire", at=(f"wire {decision.wire}",)))
    used = {interface: tuple(join.id for join in joined.joins.values() if join.through == interface) for interface in expanded.interfaces}
    interfaces = {id: replace(interface, joins=used[id]) for id, interface in expanded.interfaces.items()}
    _roles_are_led(values, documents, interfaces, joined)
    freed = tuple(position for box, spare in spare_positions(sources, gone).items() if box not in gone for position in spare if position in gone)
    restated = read_restated(values, documents, sources, described, gone, edits)
    return Merge(sources, decisions, joined.joins, interfaces, joined.far_halves, gone, restated, {address: why for address, why in open_ends.items() if isinstance(why, str)},
                 tuple(position for position in freed if position not in expanded.used), documents[0])


def _decision(wire: str, source: Source, fates: Fates, joined: Joined) -> Decision:
    line, cuts = fates.wires.get(wire), joined.cuts.get(wire)
    if cuts is not None:
        return Decision(wire, source.name, Fate.JOINED, "; ".join(dict.fromkeys(filter(None, (joined.joins[cut.join].note for cut in cuts.values())))), "", tuple(dict.fromkeys(cut.join for cut in cuts.values())), None)
    if line is not None:
        return Decision(wire, source.name, line.fate, line.why, line.words, (), line.record)
    return Decision(wire, source.name, Fate.UNDECIDED, "", "", (), None)


def _live(documents: Sequence[Record], sources: Mapping[str, Source], decisions: Mapping[str, Decision], expanded: Expanded, joined: Joined) -> Iterator[str]:
    """Every contact of the merge at which a wire, a join or an interface is left."""
    for decision in decisions.values():
        source = sources[decision.source]
        wire = source.harness.wires[decision.wire.partition("/")[2]]
        sides = {"from": source.id(wire.from_), "to": source.id(wire.to)}
        if decision.fate.leaves:
            continue
        cuts = joined.cuts.get(decision.wire)
        for side, address in sides.items():
            # the far half of a cut holds nothing in place, unless it stays too
            if cuts is None or side in cuts or any(not cut.cut or not cut.far.leaves for cut in cuts.values()):
                yield address
    for join in joined.joins.values():
        yield from (end.address for end in join.ends)
    yield from expanded.held
    for document in documents:
        wires = document.get("wires")
        for entry in wires.values() if isinstance(wires, Record) else ():
            if isinstance(entry, Record):
                yield from (entry[key] for key in ("from", "to") if isinstance(entry.get(key), str))


def _ends_of_joins_stay(values: Values, joined: Joined, gone: Mapping[str, str]) -> None:
    for join in joined.joins.values():
        for position, end in enumerate(join.ends):
            owner = _gone_owner(end.address, gone)
            if owner:
                values.error("join-end-gone", f"join {join.id} ends at {end.address}, but {owner} leaves ({gone[owner]})", join.source["ends"].place_of(position),
                             f"join another end, or let {owner} stay: the last line of `fates` that names it wins")


def _positions_are_free(values: Values, sources: Mapping[str, Source], expanded: Expanded, gone: Mapping[str, str]) -> None:
    parts = {source.id(part.id): part for source in sources.values() for part in source.harness.parts.values()}
    for interface in expanded.interfaces.values():
        position = values.word(interface.source, "position")
        if position in parts and position not in gone:
            kind = expanded.used[position]
            spare = fitting(sources, (one for box in spare_positions(sources, gone).values() for one in box if one not in expanded.used), kind)
            values.error("position-not-spare", f"interface {interface.id} takes position {position}, in which {parts[position].kind} {position} stays", interface.source.place_of("position"),
                         f"spare for a {kind} {'is' if len(spare) == 1 else 'are'} {', '.join(spare) or 'none'}")


def _roles_are_led(values: Values, documents: Sequence[Record], interfaces: Mapping[str, Interface], joined: Joined) -> None:
    """Every end of an interface is brought to it by a join, or by a wire of the merge at its terminal."""
    wired, met = set(), {end.address for join in joined.joins.values() for end in join.ends}
    for document in documents:
        wires = document.get("wires")
        wired |= {entry[key] for entry in (wires.values() if isinstance(wires, Record) else ()) if isinstance(entry, Record) for key in ("from", "to") if isinstance(entry.get(key), str)}
    for interface in interfaces.values():
        lands = list(interface.lands.values())
        brought = {end.address for join in joined.joins.values() if join.through == interface.id or any(end.address in lands for end in join.ends) for end in join.ends}
        # a join at a splice of several roles says nothing of those that it does not name
        left = [role for role, land in interface.lands.items() if interface.given[role] not in brought and land not in wired and not (land in met and lands.count(land) == 1)]
        if not left:
            continue
        what = " and ".join(f"`{role}` ({interface.given[role]})" for role in left)
        values.findings.append(Finding(
            "interface-not-joined", Severity.MALFUNCTION, f"no join leads {what} to interface {interface.id}: nothing is at {' and '.join(interface.lands[role] for role in left)}",
            interface.source.place_of(left[0]), _how_to_lead(interface, left, joined.joins), at=tuple(interface.lands[role] for role in left)))


def _how_to_lead(interface: Interface, left: Sequence[str], joins: Mapping[str, Join]) -> str:
    """What leads the roles that are left: the joins that have their wires already, by `through`, and a new join for the others."""
    ends, mine = [interface.given[role] for role in left], {interface.given[role] for role in interface.lands}
    ways: list[str] = []
    for join in joins.values():
        had = [end.address for end in join.ends if end.wire and end.address in ends]
        if not had or join.through:
            continue
        if all(end.address in mine for end in join.ends):
            ways.append(f"write `through: {interface.id}` in {join.id}")
            ends = [end for end in ends if end not in had]
        else:
            ways.append(f"take {join.id} out, which has {' and '.join(had)} and leads elsewhere")
    if ends:
        # a join has two ends: that of a single role is joined to its terminal
        listed = ends if len(ends) > 1 else (*ends, next(interface.lands[role] for role in left if interface.given[role] == ends[0]))
        ways.append(f"write `{next_number(joins, 'J')}: {{ends: [{', '.join(listed)}], through: {interface.id}}}`")
    return ", and ".join(ways)


def _gone_owner(address: str, gone: Mapping[str, str]) -> str:
    """What an id or address belongs to, of what leaves; "" where it stays."""
    if address in gone:
        return address
    owner = address.rpartition(".")[0]
    return owner if owner in gone else ""


def _cut_at_what_leaves(values: Values, decision: Decision, source: Source, gone: Mapping[str, str], edits: Edits) -> None:
    """What becomes of the record of a wire: it leaves, ends open where its end leaves, or keeps its length as found."""
    id = decision.wire
    wire = source.harness.wires[id.partition("/")[2]]
    if decision.fate.leaves:
        edits.dropped.add(("wires", id))
        return
    if decision.fate is not Fate.JOINED:
        found = source.geometry.lengths[wire.id].finished_mm
        if found is not None and wire.length is None:
            edits.change("wires", id, lambda entry: with_value(entry, "length", f"{found:g} mm"))
    known = [source.id(end) for end in (wire.from_, wire.to) if end not in (UNKNOWN, OPEN)]
    ends = [end for end in known if _gone_owner(end, gone)]
    if decision.fate is Fate.CAPPED and not ends:
        ends = _capped_at(values, decision, source)
    if decision.fate is Fate.KEPT:
        for end in ends:
            owner = _gone_owner(end, gone)
            values.findings.append(Finding("kept-end-gone", Severity.MALFUNCTION, f"wire {id} is kept, but its end {end} leaves with {owner} ({gone[owner]})",
                                           decision.line.place() if decision.line is not None else wire.source.place(), f"cap it, join it, or remove it: `{{fate: capped, wire: {id}}}`", at=(f"wire {id}",)))
    if len(ends) == len(known):
        edits.dropped.add(("wires", id))        # dead from end to end: nothing of it is left in the copper
        return
    if ends:
        edits.change("wires", id, lambda entry: _opened(entry, source, gone, tuple(ends)))


def _capped_at(values: Values, decision: Decision, source: Source) -> list[str]:
    line = decision.line
    wire = source.harness.wires[decision.wire.partition("/")[2]]
    both = [source.id(end) for end in (wire.from_, wire.to) if end not in (UNKNOWN, OPEN)]
    said = [end for end in (*values.texts(line, "at"), values.word(line, "at")) if end in both]
    if not said:
        values.error("cap-without-end", f"wire {decision.wire} is capped, but nothing that it ends at leaves: {' and '.join(both)}", line.place(), f"say which end is cut and capped: `at: {both[-1]}`")
    return said


def _opened(entry: Record, source: Source, gone: Mapping[str, str], ends: tuple[str, ...] | None = None) -> Record:
    """A wire's record with ``open`` where what it ended at leaves (by ids of the merge)."""
    for key in ("from", "to"):
        end = entry.get(key)
        if isinstance(end, str) and (end in ends if ends is not None else _gone_owner(end, gone)):
            entry = with_value(entry, key, OPEN)
    return entry


def _documents(documents: Sequence[Record], read: Read, placed: Placed, merge: Merge, edits: Edits) -> Iterator[Record]:
    main = documents[0]
    once = filtered(main, lambda key, _: key not in SECTIONS and key not in MERGE_KEYS)
    host = next((source for source in read.sources.values() if source.role.value == "host"), None)
    for key in _FALLS_BACK if host else ():
        theirs = read.documents[host.name][0]
        if key not in once and key in theirs:
            once = once.replaced(key, theirs[key], once.mark, once.mark)
    yield once
    terminals: dict[str, object] = dict(once["terminals"]) if isinstance(once.get("terminals"), Record) else {}
    for name in sorted(read.sources, key=lambda name: read.sources[name].role.value != "host"):
        source = read.sources[name]
        naming = Naming(f"{name}/", _owners(source), placed.aliases[name])
        for document in read.documents[name]:
            yield _edited(_less_terminals(prefixed(document, naming), terminals), merge, edits)
    own_keys, described = (*SECTIONS, "colours", "wire-type"), described_cavities(read.documents)
    for document in documents:
        yield without_restated(_with_waivers(filtered(document, lambda key, _: key in own_keys), document is not main, document), read.sources, described)
    added = filtered(main, lambda key, _: key in ("colours", "wire-type"))
    for section, entries in edits.added.items():
        record = Record(main.source, main.mark)
        for id, entry in entries.items():
            record.add(id, edits.result(section, id, entry), entry.mark, entry.mark)
        added.add(section, record, main.mark, main.mark)
    yield added


def _with_waivers(own: Record, is_include: bool, document: Record) -> Record:
    """An included file of the merge brings its waivers and terminals too; those of the main file are said once."""
    for key in ("waivers", "terminals", "rules") if is_include else ():
        if key in document:
            own = own.replaced(key, document[key], document.mark, document.mark)
    return own


def _owners(source: Source) -> dict[str, None]:
    harness = source.harness
    return {id: None for group in (harness.devices, harness.connectors, harness.boxes, harness.parts, harness.splices, harness.grounds) for id in group}


def _less_terminals(document: Record, said: dict[str, object]) -> Record:
    """Two sources may describe one terminal alike; it is said once."""
    written = document.get("terminals")
    if not isinstance(written, Record):
        return document
    left = filtered(written, lambda name, entry: said.get(name) != entry)
    said.update(written)
    return document.replaced("terminals", left, document.mark, document.mark)


def _edited(document: Record, merge: Merge, edits: Edits) -> Record:
    """A prefixed document without what leaves, with what is changed."""
    def is_gone(name: str) -> bool:
        return bool(_gone_owner(name, merge.gone))

    spare = spare_positions(merge.sources, merge.gone)
    out = Record(document.source, document.mark)
    for position, (section, entries) in enumerate(document.items()):
        marks = document.marks[2 * position], document.marks[2 * position + 1]
        if section == "waivers":
            out.add(section, _waivers_left(entries, merge, edits), *marks)
        elif section not in SECTIONS or not isinstance(entries, Record):
            out.add(section, entries, *marks)
        elif section == "states":
            out.add(section, filtered(_section(section, entries, merge, edits, is_gone, spare), lambda state, _: not _key_left(merge, state)), *marks)
        else:
            out.add(section, _section(section, entries, merge, edits, is_gone, spare), *marks)
    return out


def _section(section: str, entries: Record, merge: Merge, edits: Edits, is_gone, spare: Mapping[str, tuple[str, ...]]) -> Record:
    out = Record(entries.source, entries.mark)
    for position, (id, entry) in enumerate(entries.items()):
        marks = entries.marks[2 * position], entries.marks[2 * position + 1]
        if section not in ("wires", "circuits", "states", "places", "segments", "pairs", "cables") and is_gone(id):
            continue
        if section == "wires" and isinstance(entry, Record):
            if (section, id) not in edits.dropped:
                out.add(id, edits.result(section, id, entry), *marks)
            for derived, change in edits.derived.get(id, ()):
                out.add(derived, change(entry), *marks)
            continue
        if isinstance(entry, Record):
            freed = [position for position in spare.get(id, ()) if position in merge.freed] if section == "boxes" else ()
            entry = edits.result(section, id, cleaned(section, entry, is_gone, freed))
        out.add(id, entry, *marks)
    return out


def _key_left(merge: Merge, state: str) -> bool:
    """Whether a state is of a vehicle whose key switch leaves: its name and note were of that key, and it would be solved with the other."""
    source = merge.source_of(state)
    return source is not None and source.harness.key_switch is not None and source.id(source.harness.key_switch) in merge.gone


def _waivers_left(waivers: Items, merge: Merge, edits: Edits) -> Items:
    """The waivers of a source whose thing is still there."""
    out = Items(waivers.source, waivers.mark)
    for waiver, mark in zip(waivers, waivers.marks, strict=True):
        at = waiver.get("at") if isinstance(waiver, Record) else None
        kind, _, own = at.partition(" ") if isinstance(at, str) else ("", "", "")
        if isinstance(at, str) and not _gone_owner(at, merge.gone) and not (kind == "wire" and ("wires", own) in edits.dropped) and not (kind == "state" and _key_left(merge, own)):
            out.add(waiver, mark)
    return out

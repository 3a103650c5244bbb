"""What joins would do, before they are written.

Takes: the path of a merge file and joins as they would stand in it. Gives: the merge as it would be, what each
join cuts, and what the vehicles lose by it. Nothing is written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..description.files import load_files
from ..description.text import Record
from ..findings import Finding, Severity
from ..geometry.measure import measure
from ..model.build import build_harness
from ..trade.pairing import Pairing, pairing
from .assemble import Assembled, assemble
from .fit import far_mm
from .keys import is_merge
from .losses import losses_of
from .plan import Join, Merge
from .records import Plain, record_of
from .stations import settled


class NoMerge(Exception):
    """The file is no merge, or cannot be read; ``do`` is the way out."""

    def __init__(self, message: str, do: str) -> None:
        super().__init__(message)
        self.do = do


@dataclass(frozen=True, slots=True)
class Preview:
    """merge: with the joins in it; None where it cannot be made; faults: what is wrong with them, without what stands there already

    told: join -> what it does, line by line
    """

    merge: Merge | None
    faults: tuple[Finding, ...]
    told: Mapping[str, tuple[str, ...]]


def merge_of(path: str) -> tuple[tuple[Record, ...], Merge]:
    """The documents of a merge file and the merge as it stands. Raises NoMerge."""
    description = load_files(path)
    if not is_merge(description.documents):
        first = f": {description.findings[0].message}" if description.findings else ""
        raise NoMerge(f"'{path}' is no merge{first}", "name a file with `sources:`")
    merge = assemble(description.documents).merge
    if merge is None:
        raise NoMerge(f"the sources of '{path}' cannot be read", f"harnessdoc check '{path}' says why")
    return description.documents, merge


def preview(path: str, joins: Mapping[str, Mapping[str, Plain]], interfaces: Mapping[str, Mapping[str, Plain]] | None = None) -> Preview:
    """What the joins would do. Raises NoMerge."""
    documents, _ = merge_of(path)
    main = documents[0]
    with_joins = (_with(_with(main, "joins", joins), "interfaces", interfaces or {}), *documents[1:])
    before = {(fault.code, fault.message) for fault in _errors(assemble(documents), path)}
    assembled = assemble(with_joins)
    faults = tuple(fault for fault in _errors(assembled, path) if (fault.code, fault.message) not in before)
    return Preview(assembled.merge, faults, _told(assembled, path, joins) if assembled.merge is not None else {})


def _errors(assembled: Assembled, path: str) -> tuple[Finding, ...]:
    """What is wrong with a merge so that it cannot be made, in itself or as it is built, and what of it is put on a point that is not there."""
    if assembled.merge is None:
        return tuple(finding for finding in assembled.findings if finding.severity is Severity.ERROR)
    harness, built = build_harness(assembled.documents, path, tuple(assembled.merge.sources))
    return (*(finding for finding in (*assembled.findings, *assembled.not_said_yet(built)) if finding.severity is Severity.ERROR),
            *(finding for finding in measure(harness).findings if finding.code == "place-off-the-bundle"))


def _with(main: Record, section: str, entries: Mapping[str, Mapping[str, Plain]]) -> Record:
    here = main.get(section)
    section_record = here if isinstance(here, Record) else Record(main.source, main.mark)
    for id, entry in entries.items():
        section_record = section_record.replaced(id, record_of(entry, main.source, main.mark), main.mark, main.mark)
    return main.replaced(section, section_record, main.mark, main.mark) if entries else main


def _told(assembled: Assembled, path: str, joins: Mapping[str, object]) -> dict[str, tuple[str, ...]]:
    merge = assembled.merge
    harness, _ = build_harness(assembled.documents, path, tuple(merge.sources))
    geometry = measure(harness)
    geometry = measure(settled(harness, geometry, merge))
    lost = losses_of(merge)
    told = {}
    for id in joins:
        join = merge.joins.get(id)
        if join is None:
            continue
        lines = [_end_words(merge, join, position) for position in range(len(join.ends))]
        verdict = verdict_of(merge, join)
        if verdict is not None and not join.through:
            lines.append(f"{verdict.verdict}: {verdict.words.removesuffix('.')}{f'; {verdict.needs}' if verdict.needs else ''}")
        for half in merge.far_halves.values():
            if id in half.joins:
                mm = far_mm(merge, geometry, half.id)
                lines.append(f"cut off: {half.id}, {'length not known' if mm is None else f'{mm:.0f} mm'}" + (f", hangs at {half.hangs}" if half.hangs else "") + f", {half.fate.value}")
        lines += [loss.words for loss in lost.get(id, ())] or ["no copper loses its last source or ground"]
        told[id] = tuple(lines)
    return told


def _end_words(merge: Merge, join: Join, position: int) -> str:
    end = join.ends[position]
    source = merge.sources.get(end.source)
    if source is None:
        return f"{end.address}: not found yet" if end.address == "unknown" else end.address
    contact = source.harness.contacts[end.address.partition("/")[2]]
    wire = source.harness.wires.get(end.wire.partition("/")[2])
    words = [contact.function, contact.signal]
    if wire is not None:
        words.append(f"wire {end.wire} {wire.size.stated if wire.size else ''} {wire.colour_as_stated}".rstrip() + ("" if end.cut else ", tapped"))
    else:
        words.append("takes the wire as it is")
    return f"{end.address}: {', '.join(filter(None, words))}"


def verdict_of(merge: Merge, join: Join) -> Pairing | None:
    """What the trade says of the kinds of signal at the first two ends, joined as they are; None where nothing is said."""
    kinds = []
    for end in join.ends:
        source = merge.sources.get(end.source)
        if source is not None and (signal := source.harness.contacts[end.address.partition("/")[2]].signal):
            kinds.append(signal)
    return pairing(kinds[0], kinds[1], ("two vehicles",)) if len(kinds) >= 2 else None

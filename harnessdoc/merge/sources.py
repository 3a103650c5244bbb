"""The sources of a merge: each read, checked, built and measured by itself, as found.

Takes: the record ``sources:`` of the merge file. Gives: the sources with their documents, every text
read, and findings. A source is never changed: it stays the record of what was found.
"""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from dataclasses import dataclass

from ..description.files import load_files, near_files
from ..description.schema import check_schema, has_its_sections
from ..description.text import Record, SourceText
from ..findings import Finding, Related, Severity
from ..geometry.measure import measure
from ..model.build import build_harness
from ..model.ids import id_fault
from .plan import Role, Source


@dataclass(frozen=True, slots=True)
class Read:
    """What was read of all sources.

    documents: source -> its documents; is_whole: no line of any had to be left out; is_usable: each that is named was read, and
    they are a host and a donor: else what is said of their things cannot be judged.
    """

    sources: dict[str, Source]
    documents: dict[str, tuple[Record, ...]]
    texts: tuple[SourceText, ...]
    findings: tuple[Finding, ...]
    is_whole: bool
    is_usable: bool


def read_sources(written: Record, texts: Mapping[str, str | bytes] | None) -> Read:
    """Every source that can be read; ``texts`` as for ``load_files``."""
    sources: dict[str, Source] = {}
    documents: dict[str, tuple[Record, ...]] = {}
    read: dict[str, SourceText] = {}
    findings: list[Finding] = []
    whole = True
    named: dict[str, str] = {}
    for name, entry in written.items():
        if not isinstance(entry, Record):
            continue
        file, role = entry.get("file"), entry.get("role")
        if fault := id_fault(name):
            findings.append(_error("bad-id", f"the name of the source '{name}' {fault}", written, name, "give it another: `host` or `donor`, for example"))
            continue
        if not isinstance(file, str) or role not in (Role.HOST.value, Role.DONOR.value):
            continue                    # the schema check spoke of it
        path = posixpath.normpath(posixpath.join(posixpath.dirname(written.source.path), file))
        if path in named or path == posixpath.normpath(written.source.path):
            what = f"source {named[path]} is the same file" if path in named else "it is this file itself"
            findings.append(Finding("source-twice", Severity.ERROR, f"source {name} is '{file}', but {what}", entry.place_of("file"), "name the description of the other vehicle"))
            continue
        named[path] = name
        description = load_files(path, texts)
        if description.main is None:
            findings.append(Finding("source-missing", Severity.ERROR, f"source {name} is '{file}', which cannot be read: {_first(description.findings)}", entry.place_of("file"),
                                    _other_file(path, written, texts), tuple(Related(f.place, f.message) for f in description.findings[:1] if f.place.file != path)))
            whole = False
            continue
        findings += description.findings
        if not description.documents:
            whole = False
            continue
        if "sources" in description.documents[0]:
            findings.append(Finding("source-is-a-merge", Severity.ERROR, f"source {name}, '{file}', is a merge itself", entry.place_of("file"),
                                    "name the descriptions as found; what was merged before is written down as one harness"))
            continue
        is_whole = description.is_whole and all(map(has_its_sections, description.documents))
        whole = whole and is_whole
        for document in description.documents:
            findings += check_schema(document, description.is_whole)
        harness, found = build_harness(description.documents, posixpath.basename(path))
        findings += found if is_whole else [finding for finding in found if not finding.code.startswith("no-such-")]
        geometry = measure(harness)
        sources[name] = Source(name, Role(role), path, tuple(text.path for text in description.texts), harness, geometry, note if isinstance(note := entry.get("note"), str) else "", entry)
        documents[name] = description.documents
        read |= {text.path: text for text in description.texts}
    roles = _roles(written, sources)
    return Read(sources, documents, tuple(read.values()), (*findings, *roles), whole, len(sources) == len(written) and not roles)


def _roles(written: Record, sources: Mapping[str, Source]) -> list[Finding]:
    roles = [source.role for source in sources.values()]
    # of a source that cannot be used a finding speaks already
    if len(sources) < len(written) or len(roles) >= 2 and Role.HOST in roles and Role.DONOR in roles:
        return []
    said = ", ".join(f"{name} ({source.role.value})" for name, source in sources.items()) or "none"
    return [Finding("sources-missing", Severity.ERROR, f"a merge has a host and a donor; the sources that can be used are {said}", written.place(),
                    "write two lines: host: {file: ..., role: host} and donor: {file: ..., role: donor}")]


def _error(code: str, message: str, record: Record, key: str, do: str) -> Finding:
    return Finding(code, Severity.ERROR, message, record.place_of_key(key), do)


def _other_file(path: str, written: Record, texts: Mapping[str, str | bytes] | None) -> str:
    """The way out where a source cannot be read: the files near it that no source is yet."""
    folder = posixpath.dirname(written.source.path)
    taken = [written.source.path, *(posixpath.join(folder, file) for entry in written.values() if isinstance(entry, Record) and isinstance(file := entry.get("file"), str))]
    near = [posixpath.relpath(one, folder or ".") for one in near_files(path, texts) if one not in map(posixpath.normpath, taken)]
    write = f"write the path from the folder of {posixpath.basename(written.source.path)}"
    return f"did you mean {' or '.join(f'`file: {one}`' for one in near)}? {write}" if near else write


def _first(findings: tuple[Finding, ...]) -> str:
    return findings[0].message if findings else "it is empty"

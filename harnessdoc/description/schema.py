"""The JSON Schema of the description: the one source for what may be written.

Takes: the records of a description. Gives: findings with places, in the user's
words. Must not know: what the values mean beyond their kind (units, colours and
addresses are read by ``model``).

The validator's verdict decides; its texts never reach the user.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from typing import Any

from ..findings import Finding, Place, Severity
from .rewrite import fate_way_out, way_out
from .slips import pairs_wanted, signals_meant
from .text import Items, Record, SourceText, place_at

_PACKAGE = Path(__file__).resolve().parent.parent


def schema_text(name: str = "harness") -> str:
    """The schema of this name as JSON text: from the wheel, or from ``schemas/`` of a source checkout."""
    for folder in (_PACKAGE / "schemas", _PACKAGE.parent / "schemas"):
        file = folder / f"{name}.schema.json"
        if file.is_file():
            return file.read_text(encoding="utf-8")
    raise FileNotFoundError(f"{name}.schema.json is missing from this installation")


@lru_cache(maxsize=1)
def schema() -> dict[str, Any]:
    """The schema as plain values."""
    return json.loads(schema_text())


def takes_list(key: str) -> bool:
    """Whether a key takes a list of texts wherever it may stand: where ``ends: a, b`` stands, the brackets are missing."""
    return key in _list_keys()


@lru_cache(maxsize=1)
def _list_keys() -> frozenset[str]:
    kinds: dict[str, set[bool]] = {}
    waiting: list[Any] = [schema()]
    while waiting:
        node = waiting.pop()
        if isinstance(node, list):
            waiting += node
        elif isinstance(node, dict):
            waiting += node.values()
            properties = node.get("properties")
            for key, described in properties.items() if isinstance(properties, dict) else ():
                kind = _is_text_list(described)
                if kind is not None:
                    kinds.setdefault(key, set()).add(kind)
    return frozenset(key for key, said in kinds.items() if said == {True})


def _is_text_list(node: dict) -> bool | None:
    """Whether what a key takes is a list of texts (or one text or a list of them); None for a map, which is never read from one text."""
    node = _resolved(node)
    if node.get("if", {}).get("type") == "array":
        node = {"type": "array", **node["then"]}
    if node.get("type") == "object":
        return None
    items = _resolved(node.get("items", {}))
    return node.get("type") == "array" and "string" in items.get("type", ())


def _resolved(node: dict) -> dict:
    while "$ref" in node:
        node = schema()["$defs"][node["$ref"].rpartition("/")[2]]
    return node


@lru_cache(maxsize=1)
def _validator():
    import jsonschema_rs

    return jsonschema_rs.Draft202012Validator(schema())


def check_schema(document: Record, is_whole: bool = True) -> list[Finding]:
    """Every way in which ``document`` departs from the schema, as findings.

    A value written with nothing (``size:``) was reported by the reader and is
    passed over here. A heading of a table is reported once, not in every row. is_whole: False where lines
    were left out, on which a key that is missing may stand.
    """
    findings = [
        finding
        for fault in _validator().iter_errors(document)
        for path in _paths(document, fault.instance_path)
        if _value_at(document, path) == fault.instance and (is_whole or fault.kind.name != "required")
        for finding in _findings_of(document, path, fault)
    ]
    return list(dict.fromkeys(findings))


def _paths(here: Any, steps: Sequence[str | int]) -> list[list[str | int]]:
    """The paths that the validator may mean by ``steps``: it gives the keys ``10``, ``010`` and ``+10`` as the number 10."""
    if not steps:
        return [[]]
    step, *rest = steps
    if isinstance(here, Record) and isinstance(step, int):
        keys = [key for key in here if key.isascii() and key.removeprefix("+").isdecimal() and int(key) == step]
    else:
        keys = [step]
    return [[key, *path] for key in keys for path in _paths(here[key], rest)]


def _findings_of(document: Record, path: list[str | int], fault: Any) -> list[Finding]:
    value = _value_at(document, path)
    node = _schema_at(list(fault.schema_path)[:-1])
    kind = fault.kind
    where = _words_for(path)
    if path[:1] == ["fates"] and len(path) == 2 and kind.name in ("additionalProperties", "required", "type") and (do := fate_way_out(document, path, value)):
        # `- host/37: removed`: said once, not as a key that is missing and one that is unknown
        return [_error("wrong-form", f"{where} names no fate that can be read: it has no `fate`", place_at(document, path), do)]
    if kind.name == "additionalProperties":
        return [_unknown_key(document, path, key, node) for key in kind.unexpected]
    if kind.name == "required":
        if path[:1] == ["wires"] and "/" in str(path[1]) and document.get("sources"):
            return []           # a wire of a source: the merge says that it is not written anew
        return [_missing_key(document, path, kind.property)]
    if value is None or kind.name in ("propertyNames", "minLength", "maxLength"):
        return []  # empty values were reported by the reader; ids are judged by the builder, which names them
    if kind.name == "enum":
        return [_not_a_choice(document, path, value, kind.options, where)]
    place = place_at(document, path)
    if path[-1:] == ["face"] and kind.name != "minItems":
        if kind.name == "type":
            message = f"{where} is {_kind_of(value)}, where rows or a map are wanted"
            return [_error("wrong-kind", message, place, _FACE)]
        # said of a map only: for anything else the kind is wrong, which is said already
        return [_error("wrong-form", f"{where} must have one of `ring` and `xy`", place, _FACE)] if isinstance(value, Record) else []
    if path[2:3] == ["face"] and len(path) == 4 and kind.name == "type" and isinstance(value, str):
        # one row written without its own brackets: said once, at its first cavity
        row = _value_at(document, path[:-1])
        return [_error("wrong-kind", f"`face` of {_words_for(path[:2])} is one row, where a list of rows is wanted", place,
                       f"write the row in brackets of its own: [[{', '.join(str(item) for item in row)}]]")] if path[3] == 0 else []
    if path[:1] == ["devices"] and path[2:3] == ["closes"] and len(path) in (4, 5) and kind.name == "type" and isinstance(value, str) \
            and not any(isinstance(item, Items) for item in _value_at(document, path[:4])):
        # pairs without brackets of their own: said once, at the first contact
        if path[4:] not in ([], [0]):
            return []
        message, do = pairs_wanted(document["devices"][path[1]], str(path[1]), str(path[3]))
        return [_error("wrong-kind", message, place, do)]
    if kind.name == "type":
        message = f"{where} is {_kind_of(value)}, where {_wanted(kind.types)} is wanted"
        return [_error("wrong-kind", message, place, way_out(document, path, value, kind.types) or _example(node, kind.types))]
    if kind.name in ("minItems", "maxItems"):
        wanted = f"at {'least' if kind.name == 'minItems' else 'most'} {kind.limit} {'is' if kind.limit == 1 else 'are'}"
        message = f"{where} has {len(value)} item{'' if len(value) == 1 else 's'}, where {wanted} wanted"
        return [_error("wrong-count", message, place, "add what is missing" if kind.name == "minItems" else "take out what is too much")]
    return [_error("wrong-form", f"{where} is '{value}', which has not the form wanted", place, _example(node, ()))]


def _error(code: str, message: str, place: Place, do: str) -> Finding:
    return Finding(code, Severity.ERROR, message, place, do)


def _unknown_key(document: Record, path: list[str | int], key: str, node: dict) -> Finding:
    known = sorted(node.get("properties", {}))
    # two letters that changed places are the likelier slip: `wiers` is `wires`, not `waivers`
    near = sorted(get_close_matches(key.lower(), known, n=3, cutoff=0.6), key=lambda name: sorted(name) != sorted(key.lower()))
    do = f"{f'did you mean `{near[0]}`? ' if near else ''}the keys here are {', '.join(known)}"
    record = _value_at(document, path)
    if record.source is not document.source:  # a row of a table: its key is a heading
        return _error("unknown-key", f"the heading `{key}` is no key of a {_ONE_OF[path[0]]}", _heading(record.source, key), do)
    return _error("unknown-key", f"{_words_for(path)} has no key `{key}`", place_at(document, [*path, key], of_key=True), do)


def _heading(table: SourceText, key: str) -> Place:
    """Where a heading of a table stands."""
    match = re.search(rf"(?<![^\s,;\"]){re.escape(key)}(?![^\s,;\"])", table.text)
    return table.place(match.start() if match else 0)


def _missing_key(document: Record, path: list[str | int], key: str) -> Finding:
    where = _words_for(path)
    place = place_at(document, path, of_key=True)
    if key == "view":
        return _error("view-missing", f"{where} has a face but no view", place,
                      "write `view: mating face` or `view: wire side`: the side from which the face was written down")
    if key in ("from", "to") and path[:1] == ["wires"]:
        return _error("wire-end-missing", f"{where} has no `{key}`", place,
                      f"write the address, or `{key}: unknown` until it is found, or `{key}: open` where it is left unconnected on purpose")
    return _error("key-missing", f"{where} has no `{key}`", place, f"write `{key}:`")


_HALVES = {"male": "plug", "female": "socket"}


def _not_a_choice(document: Record, path: list[str | int], value: Any, options: list, where: str) -> Finding:
    words = [str(option) for option in options]
    said = f"'{value}'" if isinstance(value, str) else _kind_of(value)
    is_signal = path[-1:] == ["signal"]
    meant = signals_meant(said.strip("'").lower(), words) if is_signal else ""
    near = get_close_matches(said.strip("'").lower(), [word.lower() for word in words], n=3 if len(words) > _MOST_LISTED else 1, cutoff=0.5)
    close = meant or " or ".join(f"`{word}`" for word in words if word.lower() in near)
    listed = f"the words are {', '.join(words)}" if len(words) <= _MOST_LISTED else f"docs/language.md lists all {len(words)} words"
    if path[-1:] == ["half"] and isinstance(value, str) and value in _HALVES:
        listed = f"did you mean `{_HALVES[value]}`? {listed}"
    code = "unknown-signal" if is_signal else "not-a-choice"
    return _error(code, f"{where} is {said}, which is none of its words", place_at(document, path), f"{f'did you mean {close}? ' if close else ''}{listed}")


def _value_at(document: Record, path: list[str | int]) -> Any:
    here: Any = document
    for step in path:
        here = here[step]
    return here


def _schema_at(path: list) -> dict:
    """The node of the schema at a path; a path through a reference starts anew at ``$defs``."""
    starts = [index for index, step in enumerate(path) if step == "$defs"]
    node: Any = schema()
    for step in path[starts[-1]:] if starts else path:
        node = node[step] if not isinstance(node, dict) or step in node else {}
    return node if isinstance(node, dict) else {}


# Kind in the schema -> words for it, and how it is written. All plain values are text.
_KINDS = {
    "string": ("text", "write one value, without brackets"),
    "number": ("text", "write one value, without brackets"),
    "object": ("a map", "write `key: value` lines, or {key: value}"),
    "array": ("a list", "put it in brackets: [ ... ]"),
}
_FACE = "write rows ([[1..13], [14..26]]), or {ring: [1..12]}, or {xy: {1: [0, 0], 2: [5, 0]}}"
_MOST_LISTED = 20
_ONE_OF = {"wires": "wire", "connectors": "connector", "cavities": "cavity", "segments": "segment", "devices": "device",
           "boxes": "box", "fuses": "fuse", "fusible-links": "fusible link", "relays": "relay", "diodes": "diode",
           "resistors": "resistor", "splices": "splice", "grounds": "ground", "circuits": "circuit", "cables": "cable",
           "pairs": "pair", "places": "place", "states": "state", "terminals": "terminal",
           "sources": "source", "joins": "join", "interfaces": "interface"}


def has_its_sections(document: Record) -> bool:
    """False where a section is a list and a map is wanted, or the other way: then all that stands in it is missing from what was read."""
    properties = schema()["properties"]
    wanted = {key: _resolved(properties.get(key, {})).get("type") for key in document}
    return not any(value is not None and (wanted[key] == "object" and not isinstance(value, Record) or wanted[key] == "array" and not isinstance(value, Items))
                   for key, value in document.items())


def _words_for(path: list) -> str:
    """What a path leads to, in words: ``size of wire 204``."""
    if not path:
        return "the description"
    if path[0] in _ONE_OF and len(path) > 1:
        owner = f"{_ONE_OF[path[0]]} {path[1]}"
        rest = path[2:]
    else:
        owner, rest = f"`{path[0]}`", path[1:]
    names = [_step(step, before) for before, step in zip([None, *rest], rest, strict=False)]
    return " of ".join([*reversed(names), owner])


def _step(step: str | int, before: str | int | None) -> str:
    """One step of a path in words; a list in ``face`` holds rows."""
    if isinstance(step, int):
        return f"{'row' if before == 'face' else 'item'} {step + 1}"
    return f"`{step}`"


def _kind_of(value: Any) -> str:
    if isinstance(value, Record):
        return "a map"
    if isinstance(value, Items):
        return "a list"
    return f"the text '{value}'"


def _wanted(types: list[str]) -> str:
    return " or ".join(sorted({_KINDS[name][0] for name in types}))


def _example(node: dict, types: Sequence[str]) -> str:
    examples = node.get("examples")
    if examples and isinstance(examples[0], str):
        return f"for example `{examples[0]}`"
    return _KINDS[types[0]][1] if types else ""

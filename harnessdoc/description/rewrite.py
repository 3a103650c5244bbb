"""Values of the wrong kind: how YAML came to read them so, and the line to write instead.

Takes: a document, the path to a value and the kinds that are wanted there. Gives: words for a finding, with the whole
line as it should stand, or "" where nobody can tell what was meant. What it gives can be read: the tests put it in place of what was written.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from .text import Items, Record, SourceText, Value
from .traps import line_end, mended, opens, quoted, value_end

Plain = str | None | dict | list

_FATES = ("kept", "joined", "capped", "removed", "stored")
_FATE_KEYS = ("fate", "wire", "connector", "device", "circuit", "pattern", "at", "why")
_ROLES = ("host", "donor")
_LETTERS = {"joins": "J", "interfaces": "I"}
_ONLY_KEY = {"joins": "ends", "interfaces": "recipe"}
"""What the one text (or list) behind the id of an entry is meant as."""
_OWN_IDS = ("number", "id", "name")
_PARTED = re.compile(r"\s*[,;]\s*|\s+and\s+")
# what may stand bare inside brackets; all else is quoted
_BARE = re.compile(r"[^\s,\[\]{}#&*!|>'\"%@`?:-](?:[^,\[\]{}#:\n]|:(?=\S)|(?<=\S)#)*(?<!\s)")
_MOST_LINES = 8


def way_out(document: Record, path: Sequence[str | int], value: Value, wanted: Sequence[str]) -> str:
    """How the value came to be of its kind and the lines to write instead; "" where what was meant cannot be told.

    wanted: the kinds of the schema (``object``, ``array``, ``string``)
    """
    source, start = _start(document, path)
    if line := _without_quotes(source, start, value, wanted):
        return f"in quotes it is one text; write: {line}"
    meant = _meant(path, value, wanted)
    # what stands elsewhere (`*name`) or bears a tag or a name is not written anew here
    if meant is None or source.text[start : start + 1] in ("!", "&", "*"):
        return ""
    return f"{_reading(value, wanted, _is_in_brackets(value))}; write{_lines(document, path, value, meant)}"


def fate_line(item: Value) -> dict | None:
    """What a line of ``fates:`` says that names its fate in a way of its own (``host/37: removed``); None where it says none."""
    match item:
        case Record() if len(item) == 1:
            (key, value), = item.items()
            if value in _FATES:
                return {"fate": value, **_selected([key])}
            if key in _FATES and (named := _texts(value)):
                return {"fate": key, **_selected(named)}
        case str():
            words = item.split()
            if len(words) == 2 and (fate := next((word for word in words if word in _FATES), None)):
                return {"fate": fate, **_selected([word for word in words if word != fate])}
    return None


def fate_way_out(document: Record, path: Sequence[str | int], item: Value) -> str:
    """The way out where `fate_line` knows what was meant; else ""."""
    meant = fate_line(item)
    return f"a line of `fates` is a map; write{_lines(document, path, item, meant)}" if meant else ""


def _without_quotes(source: SourceText, start: int, value: Value, wanted: Sequence[str]) -> str:
    """The line with a map or a list that stands in quotes as it is; "" where none does."""
    sign = source.text[start : start + 1]
    kind = {"{}": "object", "[]": "array"}.get(value.strip()[:1] + value.strip()[-1:]) if isinstance(value, str) else None
    end = _end(source, start)
    if kind not in wanted or sign not in ("'", '"') or source.text[end - 1 : end] != sign or end - start != len(value) + 2:
        return ""
    return mended(source, start, end, value.strip())


def _meant(path: Sequence[str | int], value: Value, wanted: Sequence[str]) -> Plain:
    if "array" in wanted:
        return _as_list(path, value)
    if "object" in wanted:
        return _as_map(path, value)
    if "string" in wanted and isinstance(value, Items) and len(value) == 1 and isinstance(value[0], str):
        return value[0]
    return None


def _as_list(path: Sequence[str | int], value: Value) -> list | None:
    key = path[-1]
    if isinstance(value, Record):
        if list(path) == ["fates"]:
            return _fate_lines(value)
        if key == "ends" and (named := [f"{source}/{end}" for source, end in value.items() if isinstance(end, str)]) and len(named) == len(value):
            return named
        return None
    if not isinstance(value, str) or isinstance(key, int) or key in ("fates", "face", "lid", "links", "log", "waivers"):
        return None
    parts = [part for part in _PARTED.split(value.strip()) if part]
    # a join with one end known yet
    return [*parts, "unknown"] if key == "ends" and len(parts) == 1 else parts or None


def _fate_lines(value: Record) -> list | None:
    if value and all(key in _FATE_KEYS for key in value):
        return [_plain(value)]
    lines = [_entry_of_fates(key, entry) for key, entry in value.items()]
    return lines if lines and None not in lines else None


def _entry_of_fates(key: str, entry: Value) -> dict | None:
    if isinstance(entry, Record) and entry.get("fate") in _FATES:
        plain = _plain(entry)
        return plain if any(name in plain for name in _FATE_KEYS[1:6]) else {"fate": plain.pop("fate"), **_selected([key]), **plain}
    if key in _FATES and (named := _texts(entry)):
        return {"fate": key, **_selected(named)}
    return {"fate": entry, **_selected([key])} if entry in _FATES else None


def _selected(names: list[str]) -> dict:
    """Names of wires, of things or a pattern, told apart by how they look: a wire's own id is mostly a number, a thing's begins with a capital."""
    own = [name.rpartition("/")[2] for name in names]
    key = "pattern" if any("*" in name for name in own) else "wire" if all(name[:1].isdigit() for name in own) else "device" if all(name[:1].isupper() for name in own) else "circuit"
    return {key: names[0] if len(names) == 1 else names}


def _as_map(path: Sequence[str | int], value: Value) -> dict | None:
    if isinstance(value, str):
        if list(path) == ["sources"]:
            return _sources(_PARTED.split(value.strip()))
        if len(path) == 2 and path[0] == "sources":
            return _source(str(path[1]), value)
        if len(path) == 2 and path[0] in _ONLY_KEY:
            key = _ONLY_KEY[path[0]]
            return {key: _as_list([*path, key], value) if key == "ends" else value}
        return fate_line(value) if list(path[:1]) == ["fates"] else None
    if not isinstance(value, Items) or not value:
        return None
    if texts := _texts(value):
        if list(path) == ["sources"]:
            return _sources(texts)
        if list(path) == ["open"]:
            return dict.fromkeys(texts, "not used")
        return {"ends": texts} if len(path) == 2 and path[0] == "joins" else None
    if not all(isinstance(item, Record) and item for item in value):
        return None
    if all(len(item) == 1 for item in value):
        merged = {key: _plain(inner) for item in value for key, inner in item.items()}
        of_one = not (len(path) == 1 and path[0] in _ONLY_KEY and list(merged) == [_ONLY_KEY[path[0]]])
        if len(merged) == len(value) and of_one:
            return merged
    return _with_ids(str(path[0]), value) if len(path) == 1 else None


def _with_ids(section: str, items: Items) -> dict | None:
    """Entries without an id before them: by the id that they say, or the next number of the section."""
    found: dict[str, Plain] = {}
    for number, item in enumerate(items, 1):
        plain = _plain(item)
        said = next((key for key in _OWN_IDS if isinstance(plain.get(key), str)), "")
        id = plain.pop(said) if said else str(plain.get("role", "")) if section == "sources" else f"{_LETTERS[section]}{number}" if section in _LETTERS else ""
        if not id or id in found:
            return None
        found[id] = plain
    return found


def _sources(files: list[str]) -> dict | None:
    return {role: {"file": file, "role": role} for role, file in zip(_ROLES, files, strict=True)} if len(files) == len(_ROLES) else None


def _source(name: str, file: str) -> dict:
    return {"file": file, "role": name if name in _ROLES else _ROLES[-1]}


def _texts(value: Value) -> list[str]:
    """A text or a list of texts as a list; empty for anything else."""
    if isinstance(value, str):
        return [value]
    return list(value) if isinstance(value, Items) and all(isinstance(item, str) for item in value) else []


def _plain(value: Value) -> Plain:
    match value:
        case Record():
            return {key: _plain(inner) for key, inner in value.items()}
        case Items():
            return [_plain(inner) for inner in value]
    return value


def _reading(value: Value, wanted: Sequence[str], in_brackets: bool) -> str:
    """How YAML came to read it so."""
    if isinstance(value, Items):
        return "YAML takes what stands in [ ] for a list" if in_brackets else "YAML takes a line that begins with `- ` for an item of a list"
    if isinstance(value, Record):
        return "YAML takes what stands in { } for a map" if in_brackets else "YAML takes lines without `- ` before them for a map"
    return "without brackets YAML takes it for one text" if "array" in wanted else "without a key before it YAML takes it for a text"


def _is_in_brackets(value: Value) -> bool:
    return isinstance(value, (Record, Items)) and value.source.text[value.mark : value.mark + 1] in ("[", "{")


def _lines(document: Record, path: Sequence[str | int], value: Value, meant: Plain) -> str:
    """``: LINE``, or more lines below: those that take the place of the lines of the value and its key."""
    key = path[-1]
    if len(path) == 1 and isinstance(meant, (dict, list)):
        entries = [f"  {_scalar(id)}: {in_flow(entry)}" for id, entry in meant.items()] if isinstance(meant, dict) else [f"  - {in_flow(entry)}" for entry in meant]
        more = [f"  ... and so on, {len(entries) - _MOST_LINES} more"] if len(entries) > _MOST_LINES else []
        return "\n".join([":", f"{key}:", *entries[:_MOST_LINES], *more])
    if isinstance(value, (Record, Items)) and not _is_in_brackets(value):
        return f": {'- ' if isinstance(key, int) else f'{_scalar(str(key))}: '}{in_flow(meant)}"
    source, start = _start(document, path)
    end = _end(source, start)
    return f": {mended(source, start, end, in_flow(meant) if not isinstance(meant, str) else _scalar(meant))}"


def _start(document: Record, path: Sequence[str | int]) -> tuple[SourceText, int]:
    """Where a value begins."""
    owner: Value = document
    for step in path[:-1]:
        owner = owner[step]
    place, value = owner.place_of(path[-1]), owner[path[-1]]
    source = value.source if isinstance(value, (Record, Items)) else owner.source
    return source, source.mark(place.line, place.column)


def _end(source: SourceText, start: int) -> int:
    """Where the value that begins at ``start`` ends, on its own line: a bracket or quote with its partner, a plain word as long as it goes."""
    text, stop = source.text, line_end(source, start)
    sign = text[start : start + 1]
    if sign in ("'", '"'):
        closing = text.find(sign, start + 1, stop)
        return closing + 1 if closing >= 0 else stop
    if sign in ("[", "{"):
        depth = 0
        for index in range(start, stop):
            depth += (text[index] in "[{") - (text[index] in "]}")
            if depth == 0:
                return index + 1
        return stop
    end = value_end(source, start, opens(text[start - source.place(start).column + 1 : start]))
    comment = re.search(r"\s+#", text[start:end])
    return start + comment.start() if comment else end


def in_flow(value: Plain | Mapping) -> str:
    """A plain value on one line, as YAML: ``{ends: [host/X7.2, donor/A1.L]}``."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_scalar(key)}: {in_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(in_flow(inner) for inner in value) + "]"
    return "unknown" if value is None else _scalar(value)


def _scalar(text: str) -> str:
    return text if _BARE.fullmatch(text) else quoted(text)

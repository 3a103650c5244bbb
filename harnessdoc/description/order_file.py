"""The order file beside a description: ``heron.order.yaml`` beside ``heron.yaml``.

Takes: the path of the main file (and, instead of the disk, a mapping of texts). Gives: in which order things stand on the pages of circuit
diagrams, in the words of the file, with findings; and the text of such a file. Must not know: what the words of a row mean.
"""

from __future__ import annotations

import json
import os
import re
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from typing import Any

from ..findings import Finding, Place, Severity
from .files import ORDER_ENDING
from .reader import read_disk, read_text, read_yaml
from .schema import schema_text
from .text import Items, Record, SourceText, place_at
from .traps import quoted

_MAIN_ENDING = re.compile(r"\.ya?ml$", re.IGNORECASE)
# Where a fault lies, of `_where`.
_NUMBER = re.compile(r"\b(item|row|page) \d+")
# What needs no quotes in brackets.
_PLAIN = re.compile(r"[\w/](?:[\w ./+-]*[\w/])?")


@dataclass(frozen=True, slots=True)
class PageOrder:
    """One page. in_parts: relays and switches may be shown in parts; wires: those of the page where the system has several, else ();
    rows: from the top down, the words of each from the left; source: where it was read, None of one that is to be written."""

    system: str
    in_parts: bool
    wires: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    mirrored: tuple[str, ...] = ()
    source: Record | None = None


@dataclass(frozen=True, slots=True)
class OrderFile:
    """path: as it is shown; paper: that of the sheets it holds for."""

    path: str
    paper: str
    pages: tuple[PageOrder, ...]

    def of(self, system: str) -> tuple[PageOrder, ...]:
        """The pages of a system, in their order."""
        return tuple(page for page in self.pages if page.system == system)


@dataclass(frozen=True, slots=True)
class OrderRead:
    """order: None where there is no order file, or one that cannot be used; text: what was read."""

    order: OrderFile | None = None
    text: SourceText | None = None
    findings: tuple[Finding, ...] = ()


def order_path(path: str | Path) -> str:
    """Where the order file of a description stands: ``heron.order.yaml`` beside ``heron.yaml``."""
    shown = path.as_posix() if isinstance(path, Path) else path.replace(os.sep, "/")
    return _MAIN_ENDING.sub("", shown) + ORDER_ENDING


def read_order(path: str | Path, texts: Mapping[str, str | bytes] | None = None, described: Sequence[str] = ()) -> OrderRead:
    """The order file of the description at ``path``, where one stands beside it.

    texts: as for `load_files`; described: the files of the description, none of which is an order file whatever its name
    """
    shown = order_path(path)
    if shown in described or (not os.path.lexists(shown) if texts is None else not _has(texts, shown)):
        return OrderRead()
    main = os.path.basename(str(path))
    text, findings = read_text(shown, shown, read_disk if texts is None else lambda name: _bytes(texts[name]))
    document = None
    if text is not None:
        document, more = read_yaml(text)
        findings = (*findings, *more)
    if _is_empty(findings):
        # it says nothing, and nothing wrong: the diagrams are as without it
        return OrderRead(OrderFile(shown, "a4", ()), text or SourceText(shown, ""), (Finding("order-file-empty", Severity.ADVICE, f"'{shown}' holds no entries, so it keeps no order", Place(shown, 1, 1),
                                                                                              f"delete it; or write it: harnessdoc keep-order {main}"),))
    if document is None:
        return OrderRead(text=text, findings=findings)
    if "order-of" not in document:
        return OrderRead(text=text, findings=(_error("not-an-order-file", f"'{shown}' stands where the order file of '{main}' does, and is none: it has no `order-of`", Place(shown, 1, 1),
                                                     f"give it another name, or write `order-of: {main}`"),))
    findings = (*findings, *_told_once(_against_schema(document)))
    if findings:
        return OrderRead(text=text, findings=findings)
    order = OrderFile(shown, str(document.get("paper", "a4")), tuple(map(_page, document["pages"])))
    return OrderRead(order, text, tuple(_of_another(document, main, shown)))


def _of_another(document: Record, main: str, shown: str) -> Iterator[Finding]:
    """Where it says that it was written for another description."""
    of = document.get("order-of") or ""
    if of != main:
        yield Finding("order-of-another", Severity.ADVICE, f"'{shown}' is the order file of '{of}', and stands beside '{main}'", document.place_of("order-of"),
                      f"if the description was given a new name, write `order-of: {main}`; if not, delete it, or write it anew: harnessdoc keep-order {main}")


def _is_empty(findings: Sequence[Finding]) -> bool:
    return [finding.code for finding in findings] == ["file-empty"]


def is_order_file(path: str) -> bool:
    """Whether a file that may be written over as an order file stands at ``path``; also where none stands there, or one without a word."""
    if not os.path.lexists(path):
        return True
    text, findings = read_text(path, path)
    if text is None:
        return _is_empty(findings)
    document = read_yaml(text)[0]
    return document is not None and "order-of" in document


def order_text(order: OrderFile, main: str) -> str:
    """The file as text, a row a line. main: the name of the description it stands beside"""
    lines = [f"# In which order things stand on the circuit diagrams of {main}: written by `harnessdoc keep-order {main}`.",
             "# It holds the diagrams together when the description changes; it is no part of the harness. To begin anew delete it.",
             f"order-of: {_word(main)}", f"paper: {order.paper}", "pages:" if order.pages else "pages: []"]
    for page in order.pages:
        entry = [*([f"system: {_word(page.system)}"] if page.system else []), *(["in-parts: yes"] if page.in_parts else []),
                 *([f"wires: {_words(page.wires)}"] if page.wires else []), "rows:" if page.rows else "rows: []", *(f"  - {_words(row)}" for row in page.rows),
                 *([f"mirrored: {_words(page.mirrored)}"] if page.mirrored else [])]
        lines += [f"  {'  ' if number else '- '}{line}" for number, line in enumerate(entry)]
    return "\n".join(lines) + "\n"


def write_order(path: str, text: str) -> None:
    """Write the file aside and move it, so that it is never half there. Raises OSError."""
    target = Path(path).resolve()
    with tempfile.TemporaryDirectory(prefix=".unfinished-", dir=target.parent) as aside:
        (Path(aside) / target.name).write_text(text, encoding="utf-8", newline="\n")
        os.replace(Path(aside) / target.name, target)


def _word(value: str) -> str:
    return value if _PLAIN.fullmatch(value) else quoted(value)


def _words(values: Sequence[str]) -> str:
    return f"[{', '.join(map(_word, values))}]"


def _has(texts: Mapping[str, str | bytes], path: str) -> bool:
    try:
        return texts[path] is not None
    except KeyError:
        return False
    except OSError:      # there, and not to be had: reading it says so
        return True


def _bytes(text: str | bytes) -> bytes:
    return text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text


def _page(entry: Record) -> PageOrder:
    def texts(key: str) -> tuple[str, ...]:
        return tuple(entry.get(key) or ())

    return PageOrder(entry.get("system") or "", entry.get("in-parts") == "yes", texts("wires"), tuple(tuple(row or ()) for row in entry["rows"]), texts("mirrored"), entry)


# ------------------------------------------------------------------ the schema

@lru_cache(maxsize=1)
def order_schema() -> dict[str, Any]:
    """The schema of the order file as plain values."""
    return json.loads(schema_text("order"))


@lru_cache(maxsize=1)
def _validator() -> Any:
    import jsonschema_rs

    return jsonschema_rs.Draft202012Validator(order_schema())


_KINDS = {"string": ("text", "write one value, without brackets"), "object": ("a map", "write `key: value` lines"), "array": ("a list", "put it in brackets: [ ... ]")}


def _against_schema(document: Record) -> Iterator[Finding]:
    """Every way in which the file departs from its schema; a value written with nothing was reported by the reader."""
    for fault in _validator().iter_errors(document):
        path, kind = list(fault.instance_path), fault.kind
        value: Any = document
        for step in path:
            value = value[step]
        where = _where(path)
        if kind.name == "additionalProperties":
            keys = sorted((order_schema()["$defs"]["page"] if path else order_schema())["properties"])
            for key in kind.unexpected:
                near = get_close_matches(key.lower(), keys, n=1, cutoff=0.6)
                yield _error("unknown-key", f"{where} has no key `{key}`", place_at(document, [*path, key], of_key=True), f"{f'did you mean `{near[0]}`? ' if near else ''}the keys here are {', '.join(keys)}")
        elif kind.name == "required":
            yield _error("key-missing", f"{where} has no `{kind.property}`", place_at(document, path), f"write `{kind.property}:`")
        elif value is not None and kind.name == "enum":
            said = f"'{value}'" if isinstance(value, str) else "no text"
            yield _error("not-a-choice", f"{where} is {said}, which is none of its words", place_at(document, path), f"the words are {', '.join(map(str, kind.options))}")
        elif value is not None and kind.name == "type":
            wanted, do = _KINDS[kind.types[0]]
            yield _error("wrong-kind", f"{where} is {_kind(value)}, where {wanted} is wanted", place_at(document, path), do)


def _told_once(findings: Iterator[Finding]) -> Iterator[Finding]:
    """One finding for one slip that was made on many pages or in many rows: at the first of them, with how many there are."""
    alike: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        alike.setdefault((finding.code, _NUMBER.sub(r"\1", finding.message)), []).append(finding)
    for group in alike.values():
        first, more = min(group, key=lambda finding: finding.sort_key), len(group) - 1
        yield replace(first, message=f"{first.message}; so it is in {more} more place{'s' if more > 1 else ''}") if more else first


def _where(path: Sequence[str | int]) -> str:
    """What a path leads to, in words: ``item 2 of row 3 of page 1``."""
    names = []
    for number, step in enumerate(path):
        before = path[number - 1] if number else ""
        names.append(f"`{step}`" if isinstance(step, str) else f"{ {'pages': 'page', 'rows': 'row'}.get(str(before), 'item')} {step + 1}")
    said = [name for number, name in enumerate(names) if not (path[number] in ("pages", "rows") and number + 1 < len(names))]
    return " of ".join(reversed(said)) or "the order file"


def _kind(value: Any) -> str:
    return "a map" if isinstance(value, Record) else "a list" if isinstance(value, Items) else f"the text '{value}'"


def _error(code: str, message: str, place: Place, do: str) -> Finding:
    return Finding(code, Severity.ERROR, message, place, do)

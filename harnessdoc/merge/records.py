"""Records for what the merge adds: plain values that stand where the line stands that asks for them.

Takes: plain values as a description has them, and the line of the merge file. Gives: Records of
which every key points to that line, so that whatever is found about them is shown there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from ..description.text import Items, Record, SourceText, Value

Plain = str | Mapping[str, "Plain"] | Sequence["Plain"]


def record_of(plain: Mapping[str, Plain], source: SourceText, mark: int) -> Record:
    """A map as a Record at ``mark``; what is "" or None is left out."""
    record = Record(source, mark)
    for key, value in plain.items():
        if value not in ("", None):
            record.add(key, _value(value, source, mark), mark, mark)
    return record


def _value(plain: Plain, source: SourceText, mark: int) -> Value:
    if isinstance(plain, str):
        return plain
    if isinstance(plain, Mapping):
        return record_of(plain, source, mark)
    items = Items(source, mark)
    for item in plain:
        items.add(_value(item, source, mark), mark)
    return items


def with_value(record: Record, key: str, value: Value) -> Record:
    """A new record with ``value`` at ``key``, at the place of the record where the key is new."""
    return record.replaced(key, value, record.mark, record.mark)


def without(record: Record, *keys: str) -> Record:
    """A new record without some keys."""
    return filtered(record, lambda key, _: key not in keys)


def filtered(record: Record, holds: Callable[[str, Value], bool]) -> Record:
    """A new record with the keys for which ``holds`` of key and value."""
    out = Record(record.source, record.mark)
    for position, (key, value) in enumerate(record.items()):
        if holds(key, value):
            out.add(key, value, record.marks[2 * position], record.marks[2 * position + 1])
    return out


def sifted(items: Items, of: Callable[[Value], Value]) -> Items:
    """A new list with each item as ``of`` has it, without those of which it makes None."""
    out = Items(items.source, items.mark)
    for value, mark in zip(items, items.marks, strict=True):
        if (new := of(value)) is not None:
            out.add(new, mark)
    return out


def with_number(number: str, splice: Record) -> Record:
    """A splice of a source with one more join made at it."""
    before = splice.get("join")
    return with_value(splice, "join", f"{before}, {number}" if isinstance(before, str) else number)

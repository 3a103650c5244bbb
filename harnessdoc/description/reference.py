"""The language reference, made from the schema: ``docs/language.md``.

``python -m harnessdoc.description.reference`` prints it; a test compares it with the
file, so that the reference cannot fall behind the schema. The examples are those of
the schema, and a test reads each of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from ..trade.signals import signals
from .order_file import order_schema
from .schema import schema

_HEAD = """\
# The description: every key

Made from `schemas/harness.schema.json` by `python -m harnessdoc.description.reference`; do not edit.

A description is a YAML file (UTF-8). One wire is one line, one cavity is one line. Every
plain value is text: `010`, `on`, `no` and `12:30` mean what they say. What is left out has
the default stated below; size, colour, far end, fuse rating and insulation have none and are
unknown until written. A key marked * is demanded. The kinds of value stand at the end.
"""
_HOW_SIGNALS_ARE_SEEN = (
    "All is seen from the device the cavity belongs to; limits and tests are common practice, and what its maker's book says comes first.")
_ORDER_EXAMPLE = ("order-of: heron.yaml", "paper: a4", "pages:", "  - system: charging", "    rows:", "      - [G1, B1.30]", "      - [F1, F14]", "      - [wire 3, mate X30.4]",
                  "      - [A1]", "    mirrored: [F1]")
# What may not stand in a one-line map without quotes.
_NEEDS_QUOTES = re.compile(r"[,\[\]{}#]|: |^[-?&*!|>@%'\"]|^$")


def language_reference() -> str:
    """The whole reference as Markdown."""
    root, defs = schema(), schema()["$defs"]
    sections = {name: node for name, node in root["properties"].items() if _entry_of(node)}
    own = {name: node for name, node in root["properties"].items() if name not in sections}
    parts = [_HEAD, "## At the top of the file\n", *_table({**root, "properties": own}), "\n## Sections\n"]
    parts += [f"- [{name}](#{name}): {node['description']}" for name, node in sections.items()]
    for name, node in sections.items():
        entry = defs[_entry_of(node)]
        parts += [f"\n### {name}\n", f"{entry['description']}\n"]
        parts += ["```yaml", f"{name}:", *example_lines(node["examples"][0]), "```\n", *_table(entry.get("then", entry))]
    parts += ["\n## Maps within\n"]
    parts += [line for title, node in _inner_maps(defs) for line in (f"### {title}\n", f"{node['description']}\n", *_table(node), "")]
    parts += ["## Kinds of value\n"]
    parts += [line for name, node in sorted(defs.items()) if "properties" not in node and name not in ("rounding", "face", "signal", "motor", "solenoid", "place")
              for line in (f"### {name}\n", f"{node.get('description', '')}{_words_of(node)}{_examples_of(node)}\n")]
    parts += ["### signal\n", f"{defs['signal']['description']} {_HOW_SIGNALS_ARE_SEEN}\n", *_signals()]
    order = order_schema()
    parts += ["\n## The order file\n", f"{order['description']} Made from `schemas/order.schema.json`.\n", "```yaml", *_ORDER_EXAMPLE, "```\n", *_table(order),
              "\n### page\n", f"{order['$defs']['page']['description']}\n", *_table(order["$defs"]["page"])]
    return "\n".join(parts).rstrip("\n") + "\n"


def example_lines(section: dict[str, Any]) -> Iterator[str]:
    """A section's example as lines of a description, one an entry; schema values are plain text, lists and maps."""
    for name, entry in section.items():
        yield f"  {_flow(name)}: {_flow(entry)}"


def _flow(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_flow(key)}: {_flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return f'"{value}"' if _NEEDS_QUOTES.search(value) else value


def _entry_of(node: dict) -> str:
    """The definition of a section's entries, "" for what is no section."""
    entries = node.get("additionalProperties")
    return _target(entries) if isinstance(entries, dict) else ""


def _target(node: dict) -> str:
    return node["$ref"].rsplit("/", 1)[1]


def _inner_maps(defs: dict) -> Iterator[tuple[str, dict]]:
    yield "face", {**defs["face"]["else"], "description": "Rows as moulded, from the top down: `[[1..13], [14..26]]`. Or a map with `ring` or `xy`:"}
    yield "big", defs["big"]
    yield "allowances", defs["allowances"]
    yield "rounding", {**defs["rounding"]["then"], "description": f"{defs['rounding']['description']} The map:"}
    for name in ("entry", "waiver", "near", "fate", "piece"):
        yield name, defs[name]
    for name in ("battery", "alternator", "test-supply"):
        yield name, defs[name]
    for name in ("motor", "solenoid"):
        yield name, {**defs[name]["then"], "description": f"{defs[name]['description']} The map:"}
    yield "named-load", {**defs["named-load"], "description": f"{defs['named-load']['description']} It says one of lamp, motor, heater, sender, solenoid, coil, load."}
    yield "zones", defs["zones"]


def _table(node: dict) -> Iterator[str]:
    demanded = node.get("required", [])
    yield "| key | kind | meaning |"
    yield "|---|---|---|"
    for key, value in node["properties"].items():
        yield f"| `{key}`{'*' if key in demanded else ''} | {_kind(value)} | {_meaning(value).replace('|', chr(92) + '|')}{_words_of(value)} |"


def _kind(node: dict) -> str:
    if "$ref" in node:
        return f"[{_target(node)}](#{_target(node)})"
    if "enum" in node:
        return "word"
    if "if" in node:
        return "text or list"
    items = node.get("items", {})
    if node.get("type") == "array" and "$ref" in items:
        return f"list of [{_target(items)}](#{_target(items)})"
    return {"array": "list", "object": "map"}.get(node["type"] if isinstance(node["type"], str) else "", "text")


def _signals() -> Iterator[str]:
    yield "| word | what it is | way | drives | lives on | given by | usual limit | how it is tested | what to know |"
    yield "|---|---|---|---|---|---|---|---|---|"
    for signal in signals().values():
        limit = f"{signal.limit_a:g} A" if signal.limit_a is not None else ""
        yield (f"| `{signal.kind}` | {signal.words} | {signal.direction} | {signal.drive} | {signal.rail} | {signal.supplied_by} | {limit} "
               f"| {signal.tested} | {signal.explained} |")


def _meaning(node: dict) -> str:
    return node["description"] if "description" in node else schema()["$defs"][_target(node)]["description"]


def _words_of(node: dict) -> str:
    items = node.get("items")
    words = node.get("enum") or (items.get("enum") if isinstance(items, dict) else None)
    return " One of: " + ", ".join(f"`{word}`" for word in words) + "." if words else ""


def _examples_of(node: dict) -> str:
    examples = node.get("examples")
    return f" For example {', '.join(f'`{example}`' for example in examples)}." if examples else ""


if __name__ == "__main__":
    print(language_reference(), end="")

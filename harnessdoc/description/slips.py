"""Slips of whoever writes a first description, and how it is written.

Takes what was written; gives words for a finding: the signals that a word of the trade may mean, the pairs that a position of a
switch joins.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches

from ..trade.signals import signals
from .text import Items, Record

_KEY_POSITIONS = ("off", "accessory", "run", "start")
_SLIP_OF_THE_PEN = 0.85
"""From this likeness on another word was not meant, but one of the list misspelt. Design choice."""
_SUPPLY = ("feed-constant", "feed-switched", "feed-relay")
_SIGNALS_OF_WORDS = {
    "supply": _SUPPLY, "power": _SUPPLY, "battery": ("feed-constant", "source-battery"), "feed": _SUPPLY, "earth": ("ground-power", "ground-signal", "ground-sensor"),
    "ground": ("ground-power", "ground-signal", "ground-sensor"), "temperature": ("input-resistive", "thermistor"), "pressure": ("input-analog", "ratio-sensor"), "level": ("input-resistive", "resistive-sender"),
    "relay": ("output-relay-low", "relay-coil"), "switch": ("input-switch-to-ground", "switch-to-ground"), "5v": ("reference-5v", "feed-5v"), "reference": ("reference-5v", "feed-5v"),
}
"""What a pin is called in the trade -> the kinds of signal it may be."""


def signals_meant(said: str, words: Sequence[str]) -> str:
    """Of a word of the trade the signals it may be, each with what it is; "" where it is rather a slip of the pen."""
    if get_close_matches(said, words, n=1, cutoff=_SLIP_OF_THE_PEN):
        return ""
    parts = re.split(r"[\W_]+", said)
    kinds = next((kinds for part in parts if (kinds := _SIGNALS_OF_WORDS.get(part))), ())
    of_side = [kind for kind in kinds if len(parts) > 1 and kind.startswith(f"{parts[0]}-")]
    return " or ".join(f"`{kind}` ({signals()[kind].words})" for kind in of_side or kinds)


def pairs_wanted(device: Record, id: str, position: str) -> tuple[str, str]:
    """(what is wrong, way out) of a position of a switch that is written as one pair, or as text."""
    written, terminals = device["closes"][position], device.get("terminals")
    ends = [item for item in written if isinstance(item, str)] if isinstance(written, Items) else []
    if len(ends) < 2:
        ends = [str(item) for item in terminals][:2] if isinstance(terminals, Items) and len(terminals) > 1 else ["1", "2"]
    said = f"the text '{written}'" if isinstance(written, str) else "one pair" if len(written) == 2 else "a list of contacts"
    whole = [end if "." in end else f"{id}.{end}" for end in ends]
    pairs = ", ".join(f"[{', '.join(whole[start:start + 2])}]" for start in range(0, len(whole) - 1, 2)) + (", ..." if len(whole) % 2 else "")
    key = next((word for word in _KEY_POSITIONS if word != position and word in re.split(r"[\W_]+", position.lower())), "")
    return (f"`{position}` of `closes` of device {id} is {said}, where a list of pairs is wanted",
            f"write each pair of contacts that it joins in brackets of its own, `{position}: [{pairs}]`{f'; that position of a key switch is called `{key}`' if key else ''}")

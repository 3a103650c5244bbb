"""Random harnesses for property tests.

A ``Raw`` holds what a harness says as plain lists, and writes it as a description;
checks read the lists, the program reads the text. Some harnesses have loops of
segments; those have no splices on segments, for there the shortest of two equal
ways is our choice and nobody else's.
"""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import strategies as st

ENDS_UNKNOWN = ("unknown", "open")


@dataclass(frozen=True, slots=True)
class Raw:
    """A harness in plain lists.

    segments:   (id, from, to, mm)
    connectors: id -> (point, number of cavities, counted from 1)
    splices:    id -> point, or (segment, mm from its ``from`` end)
    wires:      (id, address, address or "unknown" or "open")
    mates:      pairs of connectors with as many cavities
    links:      pairs of addresses
    bars:       bar -> addresses
    """

    segments: tuple[tuple[str, str, str, int], ...]
    connectors: dict[str, tuple[str, int]]
    splices: dict[str, str | tuple[str, int]]
    wires: tuple[tuple[str, str, str], ...]
    mates: tuple[tuple[str, str], ...]
    links: tuple[tuple[str, str], ...]
    bars: dict[str, tuple[str, ...]]

    @property
    def cavities(self) -> list[str]:
        return [f"{name}.{cavity + 1}" for name, (_, count) in self.connectors.items() for cavity in range(count)]

    def text(self) -> str:
        """The description."""
        ends = {name: (a, b) for name, a, b, _ in self.segments}
        mates = dict(self.mates)
        lines = ["segments:", *(f"  {name}: {{from: {a}, to: {b}, length: {mm} mm}}" for name, a, b, mm in self.segments)]
        lines += ["connectors:", *(
            f"  {name}: {{place: {point}, face: [[1..{count}]], view: wire side" + (f", mates: {mates[name]}" if name in mates else "") + "}"
            for name, (point, count) in self.connectors.items())]
        if self.splices:
            lines += ["splices:", *(
                f"  {name}: {{place: {where}}}" if isinstance(where, str) else
                f"  {name}: {{at: {where[1]} mm from {ends[where[0]][0]} toward {ends[where[0]][1]}}}" for name, where in self.splices.items())]
        if self.links:
            lines += ["devices:", "  U1: {links: [" + ", ".join(f"[{a}, {b}]" for a, b in self.links) + "]}"]
        if self.bars:
            lines += ["boxes:", "  B1: {bars: {" + ", ".join(f"{bar}: [{', '.join(addresses)}]" for bar, addresses in self.bars.items()) + "}}"]
        if self.wires:
            lines += ["wires:", *(f"  {name}: {{from: {a}, to: {b}}}" for name, a, b in self.wires)]
        return "\n".join(lines) + "\n"


@st.composite
def raw_harnesses(draw: st.DrawFn) -> Raw:
    """Up to 12 points, 6 connectors, 5 splices and 25 wires; trees, loops, and bundles in several pieces."""
    points = [f"P{n}" for n in range(draw(st.integers(2, 12)))]
    mm = st.integers(1, 400)
    # Each point hangs on an earlier one, or begins a bundle of its own.
    segments = [(points[draw(st.integers(0, n - 1))], points[n]) for n in range(1, len(points)) if n == 1 or draw(st.integers(0, 7))]
    on_bundle = sorted({point for segment in segments for point in segment})
    if draw(st.booleans()):
        segments += draw(st.lists(st.tuples(st.sampled_from(on_bundle), st.sampled_from(on_bundle)).filter(lambda ends: ends[0] != ends[1]), max_size=4))
        loops = True
    else:
        loops = False
    numbered = tuple((f"T{n}", a, b, draw(mm)) for n, (a, b) in enumerate(draw(st.permutations(segments))))
    connectors = {f"X{n}": (draw(st.sampled_from(on_bundle)), draw(st.integers(1, 5))) for n in range(draw(st.integers(2, 6)))}
    splices: dict[str, str | tuple[str, int]] = {}
    for n in range(draw(st.integers(0, 5))):
        segment = draw(st.sampled_from(numbered))
        on_segment = not loops and segment[3] > 1 and draw(st.booleans())
        splices[f"S{n}"] = (segment[0], draw(st.integers(1, segment[3] - 1))) if on_segment else draw(st.sampled_from(on_bundle))
    raw = Raw(numbered, connectors, splices, (), (), (), {})
    ends = st.sampled_from([*raw.cavities, *splices])
    wires = draw(st.lists(st.tuples(ends, st.one_of(ends, ends, ends, st.sampled_from(ENDS_UNKNOWN))).filter(lambda w: w[0] != w[1]), max_size=25))
    counts: dict[int, list[str]] = {}
    for name, (_, count) in connectors.items():
        counts.setdefault(count, []).append(name)
    alike = next((names for names in counts.values() if len(names) > 1), None)
    cavities = st.sampled_from(raw.cavities)
    return Raw(
        numbered, connectors, splices, tuple((f"w{n}", a, b) for n, (a, b) in enumerate(wires)),
        ((alike[0], alike[1]),) if alike and draw(st.booleans()) else (),
        tuple(draw(st.lists(st.tuples(cavities, cavities).filter(lambda ends: ends[0] != ends[1]), max_size=2))),
        {str(n): tuple(draw(st.lists(cavities, min_size=1, max_size=3, unique=True))) for n in range(draw(st.integers(0, 2)))},
    )

"""Write the description of a harness of any size, for benchmarks and random tests.

Takes the number of wires and a seed; gives the text of one YAML file. The same
arguments give the same text. For n wires:

- n/8 connectors, every cavity in them described and wired once;
- n/10 segments in a tree: each hangs on a random earlier point;
- 10 % of the ends at splices of three to five members, the rest at cavities;
- n/50 twisted pairs, both wires of a pair between the same two connectors;
- six keys a wire (a wire of a pair has `pair:` besides);
- every wire routed: its two ends sit at different points of the tree.

As a program: ``python generate.py WIRES [SEED]`` prints the text; with ``--electric``
that of a vehicle with its electric side (``generate_electric.py``).
"""

from __future__ import annotations

import argparse
import random
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ")
SIZES = ("0.35 mm2", "0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2")
SIGNALS = {"output-low": "output", "input-analog": "sensor", "feed-switched": "supply",
           "ground-power": "ground"}
TYPES = ("PVC 85 C", "TXL")
COVERINGS = ("tape", "conduit", "braid")


@dataclass(frozen=True, slots=True)
class Connector:
    """A connector to be written: ``cavities`` are counted from 1, in two rows."""

    id: str
    point: str
    cavities: int


def generate(wires: int, connectors: int | None = None, seed: int = 1) -> str:
    """The text of a description with so many wires, at least 100.

    ``connectors`` is wires // 8 where left out; fewer make larger ones.
    """
    if wires < 100:
        raise ValueError(f"{wires} wires are too few for the stated shares; take at least 100")
    chance = random.Random(seed)
    segments = _make_segments(wires // 10, chance)
    points = ["P0", *(segment[1] for segment in segments)]
    splice_ends = wires // 5
    housings = _make_connectors(connectors or wires // 8, 2 * wires - splice_ends, points, chance)
    members = share(splice_ends, splice_ends // 4)
    splice_points = {f"S{n}": chance.choice(points) for n in range(1, len(members) + 1)}
    pair_ends = _take_pairs(housings, wires // 50, chance)
    ends = _join_ends(housings, splice_points, members, {end for pair in pair_ends for end in pair}, chance)

    lines = ["title: Benchmark harness", "colours: IEC 60757", "segments:"]
    lines += _write_segments(segments, chance)
    lines.append("connectors:")
    lines += [_write_connector(housing) for housing in housings]
    lines.append("cavities:")
    lines += [line for housing in housings for line in _write_cavities(housing, chance)]
    lines.append("splices:")
    lines += [f"  {name}: {{place: {point}, method: crimp splice}}" for name, point in splice_points.items()]
    lines.append("pairs:")
    lines += [f"  D{number}: {{lay: 25 mm}}" for number in range(1, len(pair_ends) // 2 + 1)]
    lines.append("wires:")
    lines += _write_wires(pair_ends, ends, chance)
    return "\n".join(lines) + "\n"


def share(total: int, parts: int) -> list[int]:
    """``total`` in so many parts that differ by at most one."""
    small, larger = divmod(total, parts)
    return [small + 1] * larger + [small] * (parts - larger)


def _make_segments(number: int, chance: random.Random) -> list[tuple[str, str]]:
    """(earlier point, new point) of each segment; the points are P0, P1, ..."""
    return [(f"P{chance.randrange(new)}", f"P{new}") for new in range(1, number + 1)]


def _make_connectors(number: int, cavities: int, points: Sequence[str],
                     chance: random.Random) -> list[Connector]:
    """So many connectors that hold so many cavities together, spread over all points."""
    at = [points[index % len(points)] for index in range(number)]
    chance.shuffle(at)
    return [Connector(f"X{index}", point, size)
            for index, (point, size) in enumerate(zip(at, share(cavities, number), strict=True), 1)]


def _take_pairs(housings: Sequence[Connector], number: int,
                chance: random.Random) -> list[tuple[str, str]]:
    """From and to of the wires of so many pairs: two and two, between two connectors.

    A connector gives its last four cavities at most, as two places for a pair.
    """
    places = [(housing, last) for housing in housings for last in (housing.cavities, housing.cavities - 2)]
    chance.shuffle(places)
    ends = []
    for _ in range(number):
        one, one_last = places.pop()
        other_index = next(i for i in reversed(range(len(places))) if places[i][0].point != one.point)
        other, other_last = places.pop(other_index)
        ends += [(f"{one.id}.{one_last - step}", f"{other.id}.{other_last - step}") for step in (1, 0)]
    return ends


def _join_ends(housings: Sequence[Connector], splice_points: dict[str, str], members: Sequence[int],
               taken: set[str], chance: random.Random) -> list[tuple[str, str]]:
    """From and to of every other wire: splices to cavities, then cavity to cavity."""
    splices = [(name, point) for (name, point), number in zip(splice_points.items(), members, strict=True)
               for _ in range(number)]
    cavities = [(f"{housing.id}.{cavity}", housing.point) for housing in housings
                for cavity in range(1, housing.cavities + 1)]
    cavities = [end for end in cavities if end[0] not in taken]
    chance.shuffle(cavities)
    near, far = splices, cavities[:len(splices)]
    rest = cavities[len(splices):]
    near, far = near + rest[::2], far + rest[1::2]
    # Where both ends sit at one point, exchange the far end with that of another wire.
    for index in range(len(far)):
        while near[index][1] == far[index][1]:
            other = chance.randrange(len(far))
            if near[index][1] != far[other][1] and near[other][1] != far[index][1]:
                far[index], far[other] = far[other], far[index]
    return [(cavity, other) for (other, _), (cavity, _) in zip(near, far, strict=True)]


def _write_segments(segments: Sequence[tuple[str, str]], chance: random.Random) -> list[str]:
    return [f"  T{number}: {{from: {one}, to: {other}, length: {chance.randrange(40, 900, 5)} mm, "
            f"covering: {chance.choice(COVERINGS)}}}"
            for number, (one, other) in enumerate(segments, 1)]


def _write_connector(housing: Connector) -> str:
    upper = housing.cavities // 2
    return (f"  {housing.id}: {{title: connector {housing.id[1:]}, place: {housing.point}, half: socket, "
            f"face: [[1..{upper}], [{upper + 1}..{housing.cavities}]], view: wire side}}")


def _write_cavities(housing: Connector, chance: random.Random) -> list[str]:
    lines = []
    for cavity in range(1, housing.cavities + 1):
        signal, function = chance.choice(list(SIGNALS.items()))
        lines.append(f"  {housing.id}.{cavity}: {{function: {function} {cavity}, "
                     f"signal: {signal}, terminal: 2.8 mm}}")
    return lines


def _write_wires(pair_ends: Sequence[tuple[str, str]], ends: Sequence[tuple[str, str]],
                 chance: random.Random) -> list[str]:
    lines = []
    for number, (one, other) in enumerate([*pair_ends, *ends], 1):
        colour = "/".join(chance.sample(COLOURS, 1 + number % 2))
        pair = f", pair: D{(number + 1) // 2}" if number <= len(pair_ends) else ""
        lines.append(f"  W{number}: {{from: {one}, to: {other}, size: {chance.choice(SIZES)}, "
                     f"colour: {colour}, circuit: C{number % 97 + 1}, "
                     f"type: {chance.choice(TYPES)}{pair}}}")
    return lines


def main() -> None:
    parser = argparse.ArgumentParser(description="Write the description of a harness of any size.")
    parser.add_argument("wires", type=int)
    parser.add_argument("seed", type=int, nargs="?", default=1)
    parser.add_argument("--electric", action="store_true", help="with battery, fuses, relays, loads, control units and states")
    arguments = parser.parse_args()
    write = generate
    if arguments.electric:
        sys.path.insert(0, str(Path(__file__).parent.parent))
        from benchmarks.generate_electric import generate_electric as write
    try:
        sys.stdout.write(write(arguments.wires, seed=arguments.seed))
    except ValueError as fault:
        parser.error(str(fault))


if __name__ == "__main__":
    main()

"""Packing of circles: against the published packings, and what must hold for any circles."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from itertools import combinations
from math import hypot, inf, nan, sqrt
from random import Random
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harnessdoc.geometry.packing import Packing, lay, pack

# Best known packings of n equal circles in a circle, radius of that circle in radii of one, as read in four tables
# (reference facts 9.1); up to 13 and for 19 they are proven the best there are.
PUBLISHED = {
    1: 1, 2: 2, 3: 2.1547005, 4: 2.4142136, 5: 2.7013016, 6: 3, 7: 3, 8: 3.3047649, 9: 3.6131259, 10: 3.8130256, 11: 3.9238044, 12: 4.0296019, 13: 4.2360680,
    14: 4.3284286, 15: 4.5213570, 16: 4.6154256, 17: 4.7920337, 18: 4.8637033, 19: 4.8637033, 20: 5.1223207, 21: 5.2523175, 22: 5.4397190, 23: 5.5452042,
    24: 5.6516611, 25: 5.7528243, 26: 5.8281765, 27: 5.9063978, 28: 6.0149381, 29: 6.1385979, 30: 6.1977411, 31: 6.2915026, 32: 6.4294630, 33: 6.4867031,
    34: 6.6109571, 35: 6.6971711, 36: 6.7467538, 37: 6.7587705,
}
ROUNDED = 1e-7
"""The tables have seven decimals."""
WIRES = [1.3, 1.6, 1.9, 2.1, 2.4, 2.8, 3.4, 5.2]
diameters = st.lists(st.floats(1.0, 200.0) | st.sampled_from(WIRES), min_size=1, max_size=14)


def faults(sizes: Sequence[float], packing: Packing) -> list[str]:
    """Circles that overlap, that leave the circle round all, or are not as many as were given."""
    found = [] if len(packing.centres) == len(sizes) else [f"{len(packing.centres)} of {len(sizes)}"]
    for (a, at), (b, other) in combinations(zip(sizes, packing.centres), 2):
        if hypot(at[0] - other[0], at[1] - other[1]) < (a + b) / 2 * (1 - 1e-9):
            found.append(f"{at} and {other} overlap")
    found += [f"{at} leaves" for a, at in zip(sizes, packing.centres) if hypot(*at) + a / 2 > packing.diameter / 2 * (1 + 1e-9)]
    return found


@pytest.mark.outside("packings of equal circles in a circle, four published tables (facts 9.1)")
@pytest.mark.parametrize("count", PUBLISHED)
def test_equal_circles_come_within_five_per_cent_of_the_published_packings_and_never_below(count: int) -> None:
    for size in (1.6, 2.0, 100.0):
        packing = pack([size] * count)
        assert not faults([size] * count, packing)
        assert PUBLISHED[count] - ROUNDED <= packing.diameter / size <= 1.05 * PUBLISHED[count]


@pytest.mark.outside("packings of equal circles in a circle, four published tables (facts 9.1)")
def test_laying_alone_is_never_below_the_published_packings() -> None:
    assert all(lay([2.0] * count).diameter / 2.0 >= best - ROUNDED for count, best in PUBLISHED.items())


# Fekete, Keldenich, Scheffer, Packing Disks into Disks with Optimal Worst-Case Density (SoCG 2019, LIPIcs 129), abstract:
# circles that fill half of a circle can always be packed into it; two equal ones are the worst case.
@pytest.mark.outside("critical density 1/2 of circles in a circle (Fekete, Keldenich, Scheffer 2019, its abstract)")
@pytest.mark.parametrize("seed", range(40))
def test_any_circles_fill_at_least_half_of_the_circle(seed: int) -> None:
    random = Random(seed)
    sizes = [random.uniform(1.0, random.choice([2.0, 10.0, 200.0])) for _ in range(random.randrange(2, 30))]
    assert pack(sizes).diameter <= sqrt(2) * hypot(*sizes) * (1 + 1e-9)


@pytest.mark.outside("geometry: a circle that touches three which touch each other (Descartes' theorem, curvatures 1/r)")
@pytest.mark.parametrize("sizes", [(2.0, 2.0, 2.0), (3.0, 2.5, 2.0), (5.2, 5.0, 4.0)])
def test_three_circles_are_packed_exactly(sizes: tuple[float, float, float]) -> None:
    a, b, c = (2 / size for size in sizes)
    outer = a + b + c - 2 * sqrt(a * b + b * c + c * a)
    assert pack(sizes).diameter == pytest.approx(2 / -outer, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(diameters)
def test_no_circle_overlaps_or_leaves_and_none_is_lost(sizes: list[float]) -> None:
    quick, best = lay(sizes), pack(sizes)
    assert not faults(sizes, quick) and not faults(sizes, best)
    assert best.diameter <= quick.diameter
    # area, and the two thickest side by side: no packing goes below these
    assert best.diameter >= max(hypot(*sizes), sum(sorted(sizes)[-2:])) * (1 - 1e-12)


@pytest.mark.parametrize("sizes", [[200.0] + [1.0] * 60, [30.0] * 2 + [1.0] * 60, [1.1**power for power in range(50)], [200.0, 1.0], [1.0, 200.0, 1.0]])
def test_circles_of_very_different_sizes(sizes: list[float]) -> None:
    assert not faults(sizes, pack(sizes))


def test_the_published_numbers_and_the_checks_can_fail() -> None:
    assert faults([2.0, 2.0], Packing(4.0, ((-0.9, 0.0), (1.0, 0.0))))
    assert faults([2.0, 2.0], Packing(3.9, ((-1.0, 0.0), (1.0, 0.0))))
    assert faults([2.0, 2.0], Packing(4.0, ((-1.0, 0.0),)))


def test_nothing_and_one() -> None:
    assert pack([]) == Packing(0.0, ())
    assert pack([2.5]) == Packing(2.5, ((0.0, 0.0),))


@pytest.mark.parametrize("wrong", [0.0, -1.0, nan, inf])
@pytest.mark.parametrize("packs", [lay, pack])
def test_what_is_no_diameter_is_refused(packs, wrong: float) -> None:
    with pytest.raises(ValueError, match="diameter"):
        packs([2.0, wrong])


def test_the_same_diameters_give_the_same_places_in_another_run_of_python() -> None:
    code = "from harnessdoc.geometry.packing import pack; print(pack([1.6] * 20 + [2.4] * 9 + [5.2]))"
    runs = {subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, env={"PYTHONHASHSEED": seed}).stdout for seed in ("1", "2")}
    assert len(runs) == 1 and repr(pack([1.6] * 20 + [2.4] * 9 + [5.2])) in runs.pop()


def test_a_hundred_wires_take_less_than_a_second() -> None:
    random = Random(7)
    for sizes in ([random.choice(WIRES) for _ in range(100)], [random.uniform(1.0, 10.0) for _ in range(100)]):
        begun = process_time()
        packing = pack(sizes)
        assert process_time() - begun < 1.0
        assert packing.diameter < 1.2 * hypot(*sizes)   # tighter than the trade's rule for a bundle laid by hand

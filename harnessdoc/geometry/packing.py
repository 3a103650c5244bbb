"""How tightly circles of given diameters go into a circle: as near as is found to the least a bundle of wires can measure.

Takes diameters in mm; gives a Packing: where each lies, and the diameter of the circle round
all of them. A bundle laid by hand is looser: this goes beside its estimate.

``lay`` is quick: the thick ones first, each as near to the middle as it finds room against two
that lie already. ``pack`` begins with that and with other orders, and draws the enclosing circle
closer: those that overlap then push each other apart, until they no longer find room. Both give
what was found, not what is proved the least; never a circle that is too small. Orders and shakes come
from a fixed seed, and no clock is asked: the same diameters give the same places.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import combinations
from math import hypot, inf, sqrt
from random import Random

Point = tuple[float, float]
Round = tuple[float, float, float]
"""x, y and radius."""
Offer = tuple[float, float, float]
"""A place: how far from the middle, x, y."""

MOST_SIZES = 24
"""Circles of more different sizes are laid as if of this many, each a little larger than it is; squeezing closes the gaps."""

WORK = 400_000
"""So many meetings of two circles are weighed before ``pack`` takes the best it has; a second of a slow machine at most."""
LEAST_STARTS, MOST_STARTS = 4, 24
MOST_SQUEEZED = 150
"""More circles than this are only laid: squeezing gained nothing more on bundles of mixed wires."""
FIRST_STEP, LAST_STEP = 0.03, 0.0004
"""How much closer the enclosing circle is drawn at once, as a share of it."""
SWEEPS = 80
"""So often those that overlap push each other, before it is said that they find no room."""
FREE = 2e-5
"""An overlap of less than this share of the enclosing circle is put right by spreading all."""
SKIN = 0.35
"""Circles nearer than this share of the mean radius may come to touch within RENEW sweeps."""
RENEW = 10
SHAKE = 0.25
"""How far circles are shaken out of a place where they are stuck, in radii."""
SEED = 20_240


@dataclass(frozen=True, slots=True)
class Packing:
    """``centres`` in the order of the diameters, about the middle of the circle of ``diameter``; all in mm."""

    diameter: float
    centres: tuple[Point, ...]


def lay(diameters: Sequence[float]) -> Packing:
    """A packing that is quickly found; mm in, mm out. Raises ValueError where a diameter is not above 0."""
    radii = _radii(diameters)
    return min((_round_all(radii, _laid(radii, _thick_first(radii), seed)) for seed in range(3)), key=lambda packing: packing.diameter)


def pack(diameters: Sequence[float]) -> Packing:
    """The tightest packing found, never wider than that of ``lay``; mm in, mm out. Raises ValueError where a diameter is not above 0."""
    radii = _radii(diameters)
    best = lay(diameters)
    if not 2 < len(radii) <= MOST_SQUEEZED:
        return best
    random, work = Random(SEED), 0
    for number in range(MOST_STARTS):
        if number >= LEAST_STARTS and work > WORK:
            break
        if number % 3 == 2:
            reach = SHAKE * sum(radii) / len(radii)
            start = [(x + reach * random.uniform(-1, 1), y + reach * random.uniform(-1, 1)) for x, y in best.centres]
        else:
            start = _laid(radii, _order(radii, number, random), number % 2 + number // 6 % 2)
        found, weighed = _squeeze(radii, start, WORK // LEAST_STARTS)
        work += weighed
        if found.diameter < best.diameter:
            best = found
    return best


def _radii(diameters: Sequence[float]) -> list[float]:
    if any(not 0.0 < diameter < inf for diameter in diameters):
        raise ValueError(f"a diameter that is not above 0 among {list(diameters)}")
    return [diameter / 2 for diameter in diameters]


def _thick_first(radii: Sequence[float]) -> list[int]:
    return sorted(range(len(radii)), key=lambda index: -radii[index])


def _order(radii: Sequence[float], number: int, random: Random) -> list[int]:
    """The thick ones first, then last, then any order."""
    order = _thick_first(radii)
    if number == 1:
        order.reverse()
    elif number > 1:
        random.shuffle(order)
    return order


# ------------------------------------------------------------------------------------ laying

def _laid(radii: Sequence[float], order: Sequence[int], seed: int) -> list[Point]:
    """Centres, each circle in its turn as near to the middle as it finds room; ``seed``: 0 the first lies in the middle, 1 two beside it, 2 three round it."""
    if not order:
        return []
    centres: list[Point] = [(0.0, 0.0)] * len(radii)
    first = _first_few(radii, order, seed)
    for index, at in zip(order, first, strict=False):
        centres[index] = at
    field = _Field(max(radii))
    for index in order[:len(first)]:
        field.add((*centres[index], radii[index]))
    sizes = _sizes(radii)
    waiting = Counter(sizes[index] for index in order[len(first):])
    offers: dict[float, list[Offer]] = {size: [] for size in waiting}
    for index in order[:len(first)]:
        _add(field, offers, (*centres[index], radii[index]))
    for index in order[len(first):]:
        size = sizes[index]
        while True:
            _, x, y = heappop(offers[size])
            if field.is_free((x, y, size)):
                break
        waiting[size] -= 1
        if not waiting[size]:
            del offers[size]
        centres[index] = x, y
        _add(field, offers, (x, y, size))
    return centres


def _sizes(radii: Sequence[float]) -> list[float]:
    """The radii; where there are too many different ones, each the next larger of MOST_SIZES in a row from the least to the largest."""
    different = sorted(set(radii))
    if len(different) <= MOST_SIZES:
        return list(radii)
    ratio = (different[-1] / different[0]) ** (1 / (MOST_SIZES - 1))
    ladder = [different[-1]]
    while len(ladder) < MOST_SIZES:
        ladder.append(ladder[-1] / ratio)
    ladder = [different[0], *reversed(ladder[:-1])]
    return [ladder[bisect_left(ladder, radius)] for radius in radii]


def _add(field: _Field, offers: Mapping[float, list[Offer]], one: Round) -> None:
    """Lays a circle, and offers the places against it and each of those near by to the sizes that wait."""
    others = list(field.near(one, 2 * max(offers, default=0.0)))
    for size, heap in offers.items():
        for other in others:
            for x, y in _beside(size, one, other):
                # As near as makes no difference is even: then the place decides.
                heappush(heap, (round(hypot(x, y), 9), x, y))
    field.add(one)


def _first_few(radii: Sequence[float], order: Sequence[int], seed: int) -> list[Point]:
    """Places of the first circles, one to three, so that the middle lies within them."""
    a, b, c = ([radii[index] for index in order[:3]] + [0.0, 0.0])[:3]
    if len(order) == 1:
        return [(0.0, 0.0)]
    if len(order) == 2 or seed < 2:
        shift = 0.0 if seed == 0 and len(order) > 2 else a
        return [(-shift, 0.0), (a + b - shift, 0.0)]
    places = [(0.0, 0.0, a), (a + b, 0.0, b)]
    x, y = next(_beside(c, *places))
    mx, my, _ = _enclosing([*places, (x, y, c)])
    return [(-mx, -my), (a + b - mx, -my), (x - mx, y - my)]


def _beside(radius: float, one: Round, other: Round) -> Iterator[Point]:
    """The two places of a circle that touches two others; none where they are too far apart."""
    (x1, y1, r1), (x2, y2, r2) = one, other
    dx, dy = x2 - x1, y2 - y1
    apart = hypot(dx, dy)
    reach1, reach2 = r1 + radius, r2 + radius
    if not abs(reach1 - reach2) < apart <= reach1 + reach2:
        return
    along = (apart * apart + reach1 * reach1 - reach2 * reach2) / (2 * apart)
    off = sqrt(max(reach1 * reach1 - along * along, 0.0))
    mx, my = x1 + along * dx / apart, y1 + along * dy / apart
    yield mx - off * dy / apart, my + off * dx / apart
    yield mx + off * dy / apart, my - off * dx / apart


class _Field:
    """Circles that lie, in squares as wide as the thickest."""

    def __init__(self, thickest: float) -> None:
        self._side = 2 * thickest
        self._thickest = thickest
        self._squares: dict[tuple[int, int], list[Round]] = {}

    def add(self, one: Round) -> None:
        self._squares.setdefault((int(one[0] // self._side), int(one[1] // self._side)), []).append(one)

    def near(self, one: Round, gap: float) -> Iterator[Round]:
        """Those that lie no farther than ``gap`` from ``one``, itself left out."""
        x, y, radius = one
        for other in self._around(x, y, radius + gap + self._thickest):
            if other is not one and hypot(other[0] - x, other[1] - y) <= other[2] + radius + gap:
                yield other

    def is_free(self, one: Round) -> bool:
        x, y, radius = one
        for ox, oy, other in self._around(x, y, radius + self._thickest):
            reach = (radius + other) * (1 - 1e-10)
            if (ox - x) * (ox - x) + (oy - y) * (oy - y) < reach * reach:
                return False
        return True

    def _around(self, x: float, y: float, reach: float) -> Iterator[Round]:
        left, right = int((x - reach) // self._side), int((x + reach) // self._side)
        top, bottom = int((y - reach) // self._side), int((y + reach) // self._side)
        for column in range(left, right + 1):
            for row in range(top, bottom + 1):
                yield from self._squares.get((column, row), ())


# --------------------------------------------------------------------------------- squeezing

def _squeeze(radii: Sequence[float], start: Sequence[Point], work: int) -> tuple[Packing, int]:
    """The circles pressed together as far as they go, and how many meetings were weighed; about ``work`` at most."""
    best, step, weighed = _round_all(radii, start), FIRST_STEP, 0
    while step > LAST_STEP and weighed < work:
        moved, pushes = _push(radii, best.centres, best.diameter / 2 * (1 - step))
        weighed += pushes
        found = _round_all(radii, moved)
        # A part of the way is progress too; without any the step was too long.
        step = step if found.diameter < best.diameter * (1 - step / 2) else step / 2
        if found.diameter < best.diameter:
            best = found
    return best, weighed


def _push(radii: Sequence[float], start: Sequence[Point], within: float) -> tuple[list[Point], int]:
    """Centres after the overlapping have pushed each other apart and those outside were pressed into the circle of radius ``within``, and how many meetings were weighed."""
    xs, ys = [x for x, _ in start], [y for _, y in start]
    skin, free = SKIN * sum(radii) / len(radii), FREE * within
    pairs: list[tuple[int, int, float]] = []
    weighed = 0
    for sweep in range(SWEEPS):
        if sweep % RENEW == 0:
            pairs = _close(radii, xs, ys, skin)
        worst = 0.0
        for i, j, reach in pairs:
            dx, dy = xs[j] - xs[i], ys[j] - ys[i]
            square = dx * dx + dy * dy
            if square < reach * reach:
                apart = sqrt(square) or 1e-9
                over = reach - apart
                worst = max(worst, over)
                share = over / (2 * apart)
                xs[i] -= dx * share
                ys[i] -= dy * share
                xs[j] += dx * share
                ys[j] += dy * share
        for i, radius in enumerate(radii):
            room = within - radius
            square = xs[i] * xs[i] + ys[i] * ys[i]
            if square > room * room or room < 0:
                out = sqrt(square)
                worst = max(worst, out - room)
                share = max(room, 0.0) / out if out else 0.0
                xs[i] *= share
                ys[i] *= share
        weighed += len(pairs) + len(radii)
        if worst < free:
            break
    return list(zip(xs, ys, strict=True)), weighed


def _close(radii: Sequence[float], xs: Sequence[float], ys: Sequence[float], skin: float) -> list[tuple[int, int, float]]:
    """Pairs that touch or nearly do, with the least distance of their centres."""
    order = sorted(range(len(radii)), key=lambda i: xs[i] - radii[i])
    lying: list[int] = []
    found = []
    for j in order:
        left = xs[j] - radii[j] - skin
        lying = [i for i in lying if xs[i] + radii[i] > left]
        for i in lying:
            reach = radii[i] + radii[j]
            dx, dy = xs[j] - xs[i], ys[j] - ys[i]
            if dx * dx + dy * dy < (reach + skin) ** 2:
                found.append((i, j, reach))
        lying.append(j)
    return found


def _round_all(radii: Sequence[float], centres: Sequence[Point]) -> Packing:
    """The packing of circles that lie there: spread until none overlap, in the least circle round them."""
    xs, ys = [x for x, _ in centres], [y for _, y in centres]
    spread = max((reach / max(hypot(xs[j] - xs[i], ys[j] - ys[i]), 1e-12) for i, j, reach in _close(radii, xs, ys, 0.0)), default=1.0)
    spread = max(spread, 1.0)
    rounds = [(x * spread, y * spread, radius) for x, y, radius in zip(xs, ys, radii, strict=True)]
    mx, my, _ = _enclosing(rounds)
    moved = [(x - mx, y - my) for x, y, _ in rounds]
    return Packing(2 * max((hypot(x, y) + radius for (x, y), radius in zip(moved, radii, strict=True)), default=0.0), tuple(moved))


# --------------------------------------------------------------------------- the least circle

def _enclosing(rounds: Sequence[Round]) -> Round:
    """The least circle round some circles: grows from the few that hold it, the one farthest outside taken in each time; as near as numbers go."""
    if not rounds:
        return 0.0, 0.0, 0.0
    held = [max(rounds, key=lambda one: one[2])]
    circle = held[0]
    while True:
        far = max(rounds, key=lambda one: _outward(circle, one))
        if _outward(circle, far) <= circle[2] * (1 + 1e-12):
            return circle
        held, larger = _held([*held, far])
        if larger[2] <= circle[2]:
            return circle
        circle = larger


def _outward(circle: Round, one: Round) -> float:
    """How far ``one`` reaches from the middle of ``circle``."""
    return hypot(one[0] - circle[0], one[1] - circle[1]) + one[2]


def _held(rounds: Sequence[Round]) -> tuple[list[Round], Round]:
    """Of at most four circles those that hold the least circle round all, and that circle; the last of them touches it."""
    best: tuple[list[Round], Round] | None = None
    for count in (1, 2, 3):
        for some in combinations(rounds, count):
            for circle in _touching(some):
                if (best is None or circle[2] < best[1][2]) and all(_outward(circle, one) <= circle[2] * (1 + 1e-11) for one in rounds):
                    best = list(some), circle
    return best or (list(rounds[-3:]), max(rounds, key=lambda one: one[2]))


def _touching(some: Sequence[Round]) -> Iterator[Round]:
    """The circles round one, two or three others that touch all of them from within."""
    (x1, y1, r1), *others = some
    if not others:
        yield some[0]
    elif len(others) == 1:
        x2, y2, r2 = others[0]
        apart = hypot(x2 - x1, y2 - y1)
        if apart > abs(r1 - r2):
            radius = (apart + r1 + r2) / 2
            share = (radius - r1) / apart
            yield x1 + share * (x2 - x1), y1 + share * (y2 - y1), radius
    else:
        # Two lines in x, y and the radius R; x = p + q R and y = s + t R put into the first circle's equation.
        (a1, b1, c1, e1), (a2, b2, c2, e2) = ((2 * (x - x1), 2 * (y - y1), x * x - x1 * x1 + y * y - y1 * y1 - r * r + r1 * r1, 2 * (r - r1)) for x, y, r in others)
        det = a1 * b2 - a2 * b1
        if abs(det) < 1e-12 * max(a1 * a1 + b1 * b1, a2 * a2 + b2 * b2):
            return
        p, q, s, t = (c1 * b2 - c2 * b1) / det, (e1 * b2 - e2 * b1) / det, (a1 * c2 - a2 * c1) / det, (a1 * e2 - a2 * e1) / det
        u, v = p - x1, s - y1
        square, linear, rest = q * q + t * t - 1, u * q + v * t + r1, u * u + v * v - r1 * r1
        root = linear * linear - square * rest
        if abs(square) < 1e-12:
            radii = (-rest / (2 * linear),) if linear else ()
        else:
            radii = ((-linear + sqrt(root)) / square, (-linear - sqrt(root)) / square) if root >= 0 else ()
        for radius in radii:
            if radius >= max(r for _, _, r in some):
                yield p + q * radius, s + t * radius, radius

"""The water profile of a drain beside scipy's `solve_ivp` at equal accuracy."""

from collections.abc import Callable, Iterator
from time import perf_counter

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from designer.water.drain import Inflow, Line, Stretch, drain_profile
from designer.water.profile import make_grid, water_depths
from designer.water.properties import STANDARD_GRAVITY as G
from designer.water.resistance import Darcy
from designer.water.section import Circular

TRIES = 5
PIPE, LAW, SLOPE, LENGTH, TOTAL = Circular(0.0525), Darcy(), 0.002, 6.0, 1200 / 3.6e6


def rows() -> Iterator[str]:
    """A line for each number of holes: times, errors of the head depth, ratio."""
    for holes in (10, 100, 1000):
        inflows = [((i + 0.5) * LENGTH / holes, TOTAL / holes) for i in range(holes)]
        line = Line(PIPE, LAW, (Stretch(LENGTH, SLOPE),), tuple(Inflow(at, q) for at, q in inflows))
        fine = make_grid([(LENGTH, SLOPE)], inflows, 20 * holes + 2000)
        true = float(water_depths(PIPE, LAW, fine)[0][0])
        ours, found = _timed(lambda line=line: float(drain_profile(line).depth[0]))
        error = abs(found / true - 1)
        tolerance, theirs, other = 1e-3, 0.0, 0.0
        while tolerance > 1e-11:  # the loosest tolerance that is as near to the true depth
            theirs, other = _timed(
                lambda t=tolerance, inflows=inflows: _by_solve_ivp(inflows, t), 2
            )
            if abs(other / true - 1) <= error:
                break
            tolerance /= 10
        yield (
            f"{holes:5} holes: {ours * 1e3:7.2f} ms, error {error:.1e}; solve_ivp "
            f"{theirs * 1e3:8.1f} ms, error {abs(other / true - 1):.1e} at rtol {tolerance:.0e}; "
            f"{theirs / ours:5.1f} times faster"
        )


def _timed(work: Callable[[], float], tries: int = TRIES) -> tuple[float, float]:
    times = []
    for _ in range(tries):
        start = perf_counter()
        found = work()
        times.append(perf_counter() - start)
    return min(times), found


def _by_solve_ivp(inflows: list[tuple[float, float]], tolerance: float) -> float:
    """Depth at the head: dy/dx between holes by RK45, equal force across each hole by brentq."""

    def force(flow: float, depth: float) -> float:
        area, _, _, moment = PIPE.elements(depth)
        return flow**2 / (G * area) + moment

    flow = TOTAL
    critical = float(PIPE.critical_depths(flow))
    depth, place = critical * 1.0000005, LENGTH
    for at, entering in [*reversed(inflows), (0.0, 0.0)]:

        def rate(_: float, y: np.ndarray, flow: float = flow) -> list[float]:
            area, perimeter, width, _ = PIPE.elements(float(y[0]))
            friction = LAW.friction_slope(flow, area, perimeter)
            return [(SLOPE - friction) / (1 - flow**2 * width / (G * area**3))]

        if flow > 1e-12:
            answer = solve_ivp(rate, (place, at), [depth], rtol=tolerance, atol=1e-9)
            depth = float(answer.y[0, -1])
        else:
            depth = max(depth - SLOPE * (place - at), 0.0)
        if entering:
            held, flow = force(flow, depth), flow - entering
            if flow > 1e-12:
                low = float(PIPE.critical_depths(flow))
                depth = brentq(lambda y, q=flow, m=held: force(q, y) - m, low, 1.0, xtol=1e-12)
            else:
                depth = brentq(lambda y, m=held: PIPE.elements(y)[3] - m, 1e-6, 1.0, xtol=1e-12)
        place = at
    return depth

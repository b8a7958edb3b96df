"""Minor losses K of fittings, with the spread between published methods as a band.

h = K V²/(2g), V in the fitting's own pipe. The methods differ two- to threefold at these sizes, so
every function gives a band. All were made for screwed steel or socketed pipe; none is for small
barbed fittings, which are taken as a contraction and an enlargement. Lengths in m.
"""

import math
from dataclasses import dataclass

import numpy as np

_INCH = 0.0254


@dataclass(frozen=True, slots=True)
class Band:
    """Least, middle (median of the methods) and greatest K, and each method's own value."""

    low: float
    middle: float
    high: float
    methods: tuple[tuple[str, float], ...]


# Hydraulic Institute, Engineering Data Book, 2nd ed. 1990, Table 32a: bore in inches and K, read
# by eye off a log-log chart to about 10 %. Its table 3.B.1 states a scatter of elbows of 40 % at
# these sizes, of tees 25 %, of couplings 50 %; the bands leave that out.
_CHART_ELBOW = ((0.3, 2.6), (0.5, 2.1), (1.0, 1.5), (2.0, 1.0), (4.0, 0.64))
_CHART_TEE_BRANCH = ((0.3, 3.0), (0.5, 2.4), (1.0, 1.8), (2.0, 1.4))
_CHART_TEE_RUN = 0.9


def elbow(bore: float, reynolds: float) -> Band:
    """A 90° elbow of short radius.

    Crane TP-410 (30 fT), Hooper 1981 (2-K), Darby 1999 (3-K), Hydraulic Institute's chart.
    """
    return _band(
        ("Crane", 30.0 * _crane_factor(bore)),
        ("Hooper 2-K", _hooper(bore, reynolds, "Elbow, 90°, Standard (R/D = 1), Screwed")),
        ("Darby 3-K", _darby(bore, reynolds, "Elbow, 90°, threaded, standard, (r/D = 1)")),
        ("Hydraulic Institute", _chart(bore, _CHART_ELBOW)),
    )


def tee_run(bore: float, reynolds: float) -> Band:
    """Straight through a tee. Crane's 20 fT is from memory."""
    return _band(
        ("Crane", 20.0 * _crane_factor(bore)),
        ("Hooper 2-K", _hooper(bore, reynolds, "Tee, Run, Screwed")),
        ("Darby 3-K", _darby(bore, reynolds, "Tee, Run-through, threaded, (r/D = 1)")),
        ("Hydraulic Institute", _CHART_TEE_RUN),
    )


def tee_branch(bore: float, reynolds: float) -> Band:
    """Through the branch of a tee. Crane's 60 fT is from memory."""
    return _band(
        ("Crane", 60.0 * _crane_factor(bore)),
        ("Hooper 2-K", _hooper(bore, reynolds, "Elbow, Used as, Standard, Screwed")),
        (
            "Darby 3-K",
            _darby(bore, reynolds, "Tee, Through-branch, (as elbow), threaded, (r/D = 1)"),
        ),
        ("Hydraulic Institute", _chart(bore, _CHART_TEE_BRANCH)),
    )


def square_entry() -> Band:
    """From still water into a pipe flush with the wall."""
    return _band(("Hydraulic Institute", 0.5), ("Crane", 0.5), ("Rennels", 0.57))


def projecting_entry() -> Band:
    """From still water into a pipe that stands into it."""
    return _band(("Hydraulic Institute", 1.0), ("Crane", 0.78))


def bell_entry() -> Band:
    """From still water into a well rounded mouth (Hydraulic Institute)."""
    return _band(("Hydraulic Institute", 0.05))


def exit_loss() -> Band:
    """Into still water or the open air: the whole velocity head, by definition."""
    return _band(("Borda and Carnot", 1.0))


def contraction(bore: float, narrow: float) -> Band:
    """Sudden narrowing, K on the narrow pipe.

    Rennels; Crane's 0.5 (1 - A2/A1), from memory.
    """
    from fluids.fittings import contraction_sharp

    if not 0.0 < narrow <= bore:
        raise ValueError("A contraction must lead from a wide bore to a narrow one.")
    return _band(
        ("Rennels", float(contraction_sharp(Di1=bore, Di2=narrow))),
        ("Crane", 0.5 * (1.0 - (narrow / bore) ** 2)),
    )


def enlargement(narrow: float, bore: float) -> Band:
    """Sudden widening, K on the narrow pipe: (1 - A1/A2)², Borda and Carnot.

    Hydraulic Institute, Eq 3.B.3, states a factor of 3 % either way.
    """
    if not 0.0 < narrow <= bore:
        raise ValueError("An enlargement must lead from a narrow bore to a wide one.")
    whole = (1.0 - (narrow / bore) ** 2) ** 2
    return Band(0.97 * whole, whole, 1.03 * whole, (("Borda and Carnot", whole),))


def barb(manifold: float, narrow: float, tube: float) -> Band:
    """A barbed connector from a manifold into a feed tube, K on the tube's velocity head.

    Contraction from the manifold's bore into the barb's, then enlargement into the tube's.
    """
    into = contraction(manifold, narrow)
    out = enlargement(narrow, tube)
    on_tube = (tube / narrow) ** 4
    return Band(
        (into.low + out.low) * on_tube,
        (into.middle + out.middle) * on_tube,
        (into.high + out.high) * on_tube,
        tuple(
            (f"{name} and Borda and Carnot", (k + out.middle) * on_tube) for name, k in into.methods
        ),
    )


def coupling(bore: float, narrow: float) -> Band:
    """An insert coupling of a smaller bore between two tubes, K on the tube's velocity head.

    The band is widened by the 50 % that Hydraulic Institute's table 3.B.1 states for couplings.
    """
    middle = barb(bore, narrow, bore)
    return Band(0.5 * middle.low, middle.middle, 1.5 * middle.high, middle.methods)


def barb_line_length(bore: float) -> Band:
    """Length of plain tube, m, that loses as much as the flow past one barb stuck in its wall.

    Le = 23.04 D^-1.84 for large, 18.91 D^-1.87 for standard, 14.38 D^-1.89 for small barbs, D the
    tube's bore in mm: Montalvo 1983, after Watters and Keller 1978 (from memory).
    """
    d = bore * 1000.0
    return _band(
        ("large", 23.04 * math.pow(d, -1.84)),
        ("standard", 18.91 * math.pow(d, -1.87)),
        ("small", 14.38 * math.pow(d, -1.89)),
    )


def _band(*methods: tuple[str, float]) -> Band:
    values = sorted(k for _, k in methods)
    return Band(values[0], float(np.median(values)), values[-1], methods)


def _crane_factor(bore: float) -> float:
    """Crane's friction factor of full turbulence fT."""
    from fluids.friction import ft_Crane

    return float(ft_Crane(bore))


def _hooper(bore: float, reynolds: float, name: str) -> float:
    from fluids.fittings import Hooper2K

    return float(Hooper2K(Di=bore / _INCH, Re=reynolds, name=name))


def _darby(bore: float, reynolds: float, name: str) -> float:
    from fluids.fittings import Darby3K

    return float(Darby3K(NPS=_nominal_size(bore), Re=reynolds, name=name))


def _nominal_size(bore: float) -> float:
    """Nominal size in inches of the schedule 40 pipe with this bore, to which methods refer."""
    from fluids.piping import NPS40, S40i

    least = S40i[0] / 1000.0
    if bore < least:
        return float(NPS40[0]) * bore / least
    return float(np.interp(bore * 1000.0, S40i, NPS40))


def _chart(bore: float, points: tuple[tuple[float, float], ...]) -> float:
    """Straight between points on logarithmic axes; the end values beyond them."""
    sizes = np.log([size for size, _ in points])
    factors = np.log([factor for _, factor in points])
    return math.exp(float(np.interp(math.log(_nominal_size(bore)), sizes, factors)))

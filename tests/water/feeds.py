"""Feeds for tests: a plain manifold, and hypothesis strategies for any tree."""

from collections.abc import Callable

from hypothesis import strategies as st

from designer.water.network import (
    Conduit,
    Emitter,
    HeadSource,
    Network,
    Node,
    Outlet,
    OutletState,
    PumpSource,
    Stretch,
    Valve,
)
from designer.water.pump import PumpCurve

LITRES_PER_HOUR = 1.0 / 3.6e6


def chain(
    source: HeadSource | PumpSource,
    outlets: int,
    outlet: Callable[[int], Outlet],
    *,
    spacing: float = 0.5,
    bore: float = 0.01524,
) -> Network:
    """A level manifold with the first outlet one spacing from the source at "0"."""
    nodes = tuple(Node(str(i)) for i in range(outlets + 1))
    pipe = Conduit(spacing, bore, 1.5e-6)
    stretches = tuple(Stretch(f"s{i}", str(i - 1), str(i), pipe) for i in range(1, outlets + 1))
    return Network(source, nodes, stretches, tuple(outlet(i) for i in range(1, outlets + 1)))


def _valves() -> st.SearchStrategy[Valve | None]:
    opening = st.one_of(st.just(0.0), st.floats(0.02, 1.0))
    return st.one_of(st.none(), st.none(), st.none(), st.builds(Valve, opening))


def _conduits(length: float, bores: tuple[float, float]) -> st.SearchStrategy[Conduit]:
    return st.builds(
        Conduit,
        length=st.one_of(st.just(0.0), st.floats(0.01, length)),
        bore=st.floats(*bores),
        roughness=st.sampled_from([0.0, 1.5e-6, 2.1e-6, 5e-5]),
        minor=st.floats(0.0, 8.0),
        valve=_valves(),
    )


def _emitters() -> st.SearchStrategy[Emitter]:
    return st.builds(Emitter, st.floats(1.0, 80.0), st.floats(0.05, 1.0))


def _outlets(name: str, node: str) -> st.SearchStrategy[Outlet]:
    tubes, emitters = _conduits(1.5, (0.003, 0.008)), _emitters()
    end = st.one_of(
        st.tuples(tubes, st.none()), st.tuples(st.none(), emitters), st.tuples(tubes, emitters)
    )
    return st.builds(
        lambda kind, elevation, state, bypass: Outlet(
            name, node, elevation, kind[0], kind[1], state, bypass
        ),
        end,
        st.floats(-0.5, 2.0),
        st.sampled_from([OutletState.OPEN] * 6 + [OutletState.TIED_OFF, OutletState.BLOCKED]),
        st.sampled_from([False] * 5 + [True]),
    )


def pump_curves() -> st.SearchStrategy[PumpCurve]:
    two = st.tuples(st.floats(0.3, 5.0), st.floats(100.0, 5000.0)).map(
        lambda p: PumpCurve([(0.0, p[0]), (p[1] * LITRES_PER_HOUR, 0.0)])
    )
    three = st.tuples(st.floats(0.5, 5.0), st.floats(100.0, 5000.0), st.floats(0.2, 0.9)).map(
        lambda p: PumpCurve(
            [
                (0.0, p[0]),
                (0.5 * p[1] * LITRES_PER_HOUR, p[2] * p[0]),
                (p[1] * LITRES_PER_HOUR, 0.0),
            ]
        )
    )
    return st.one_of(two, three)


def sources() -> st.SearchStrategy[HeadSource | PumpSource]:
    return st.one_of(
        st.builds(HeadSource, st.just("0"), st.floats(-1.0, 4.0)),
        st.builds(PumpSource, st.just("0"), st.floats(-1.0, 0.5), pump_curves()),
    )


@st.composite
def networks(draw: st.DrawFn, most_nodes: int = 12) -> Network:
    """Any tree of up to that many nodes beyond the source, with up to two outlets at each."""
    count = draw(st.integers(0, most_nodes))
    stretches, outlets = [], []
    for i in range(count + 1):
        if i:
            above = draw(st.integers(0, i - 1))
            pipe = draw(_conduits(5.0, (0.008, 0.04)))
            stretches.append(Stretch(f"s{i}", str(above), str(i), pipe))
        for k in range(draw(st.integers(0, 2))):
            outlets.append(draw(_outlets(f"o{i}.{k}", str(i))))
    nodes = tuple(Node(str(i), draw(st.floats(-0.5, 1.0))) for i in range(count + 1))
    return Network(draw(sources()), nodes, tuple(stretches), tuple(outlets))

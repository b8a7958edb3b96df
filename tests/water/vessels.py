"""Hypothesis strategies for vessels, buckets and reservoirs of the sizes growers use (SI)."""

from hypothesis import strategies as st

from designer.layout.vessel import Vessel
from designer.water.vessel import Bucket, Reservoir

SIZES = st.floats(0.05, 1.5)


@st.composite
def vessels(draw: st.DrawFn) -> Vessel:
    """A box or round vessel that may widen or narrow upwards."""
    return Vessel(
        base_length=draw(SIZES),
        base_width=draw(SIZES),
        rim_length=draw(SIZES),
        rim_width=draw(SIZES),
        height=draw(SIZES),
        round=draw(st.booleans()),
    )


@st.composite
def buckets(draw: st.DrawFn, name: str = "bucket") -> Bucket:
    """A bucket with its outlet in its lower and its medium's top in its upper half."""
    vessel = draw(vessels())
    floor = draw(st.floats(-0.5, 1.0))
    return Bucket(
        name=name,
        vessel=vessel,
        floor_level=floor,
        invert_level=floor + vessel.height * draw(st.floats(0.0, 0.5)),
        medium_level=floor + vessel.height * draw(st.floats(0.5, 0.99)),
        pore_share=draw(st.floats(0.1, 1.0)),
    )


@st.composite
def reservoirs(draw: st.DrawFn) -> Reservoir:
    """A reservoir with its water lines in order."""
    vessel = draw(vessels())
    pump, low, full = sorted(draw(st.tuples(*[st.floats(0.0, 0.99)] * 3)))
    floor = draw(st.floats(-2.0, 0.0))
    return Reservoir(
        vessel=vessel,
        floor_level=floor,
        pump_level=floor + vessel.height * pump,
        low_water_level=floor + vessel.height * low,
        full_level=floor + vessel.height * full,
    )

"""Volumes of vessels against sizes and volumes stated elsewhere, and the rules they keep."""

from dataclasses import replace
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.layout.volume import bucket_litres, reservoir_litres
from designer.model.catalogue import load_catalogue
from designer.model.parts import BucketPart, ReservoirPart

INCH = 25.4
CUBIC_INCH_L = 0.016387064
GALLON_L = 3.785411784

SCAN = BucketPart(
    id="scan", name="Measured pail", rim_diameter=(11 + 15 / 16) * INCH,
    top_diameter=(11 + 9 / 16) * INCH, base_diameter=(10 + 17 / 32) * INCH, height=14.0 * INCH,
    wall=INCH / 8,
)  # fmt: skip
"""A 5 US gal pail as measured in a public 3D model (second-hand: the model's own text), inside:
14 1/4 in high over all, less its floor of 1/4 in."""


def test_the_measured_pail_holds_5_55_gallons_to_its_rim() -> None:
    """1282.8 in3 = 5.553 US gal = 21.02 L, by the cone rule from the measured sizes."""
    litres = bucket_litres(SCAN)
    assert litres / CUBIC_INCH_L == pytest.approx(1282.8, abs=0.1)
    assert litres == pytest.approx(21.02, abs=0.01)
    assert litres / GALLON_L == pytest.approx(5.553, abs=0.001)


def test_a_thinner_wall_holds_more() -> None:
    """With a wall of 0.090 in the same pail holds 5.625 US gal."""
    thin = BucketPart(
        id="thin", name="Thin", rim_diameter=SCAN.rim_diameter, top_diameter=SCAN.top_diameter,
        base_diameter=SCAN.base_diameter, height=SCAN.height, wall=0.09 * INCH,
    )  # fmt: skip
    assert bucket_litres(thin) / GALLON_L == pytest.approx(5.625, abs=0.001)


def test_five_gallons_stand_33_mm_below_the_rim_of_the_measured_pail() -> None:
    """5.000 US gal stand 12.72 in deep in it, 33 mm below the rim: the name is its fill line."""
    assert bucket_litres(SCAN, 12.72 * INCH) / GALLON_L == pytest.approx(5.0, abs=0.003)
    assert SCAN.height - 12.72 * INCH == pytest.approx(33, abs=0.6)


def test_the_catalogue_pail_is_the_measured_one() -> None:
    """Its height is the outside one: without the floor taken off it holds 1.8 % more."""
    pail = load_catalogue().part("pail-5-gal", BucketPart)
    assert bucket_litres(pail) == pytest.approx(bucket_litres(SCAN), rel=0.02)


def box(length: float, width: float, height: float) -> ReservoirPart:
    return ReservoirPart(
        id="box", name="Box", shape="box", rim_length=length, rim_width=width,
        base_length=length, base_width=width, height=height, wall=2.0,
    )  # fmt: skip


def test_a_rectangular_bucket_of_12_by_10_by_9_inches_holds_17_7_litres() -> None:
    """Supplier's sizes: 17.70 L, and 3.93 L in a 2 in sump (12 x 10 x 2 in3)."""
    tub = box(12 * INCH, 10 * INCH, 9 * INCH)
    assert reservoir_litres(tub) == pytest.approx(17.70, rel=0.005)
    assert reservoir_litres(tub, 2 * INCH) == pytest.approx(3.93, rel=0.005)


@pytest.mark.parametrize(("depth", "litres"), [(25, 1.54), (38, 2.34), (50, 3.08)])
def test_a_round_sump_280_mm_wide(depth: float, litres: float) -> None:
    """pi/4 x 0.28^2 x depth."""
    drum = replace(box(280.0, 280.0, 300.0), shape="round")
    assert reservoir_litres(drum, depth) == pytest.approx(litres, rel=0.01)


sizes = st.floats(50, 2000)


@given(base=sizes, top=sizes, height=sizes, a=st.floats(0, 1), b=st.floats(0, 1))
def test_more_depth_never_holds_less_and_depth_is_held_within_the_vessel(
    base: float, top: float, height: float, a: float, b: float
) -> None:
    tub = replace(box(top, top, height), base_length=base, base_width=base)
    low, high = sorted((a, b))
    volumes = [reservoir_litres(tub, share * height) for share in (low, high)]
    full = reservoir_litres(tub)
    assert 0 <= volumes[0] <= volumes[1] + 1e-9 <= full + 2e-9
    assert reservoir_litres(tub, -5.0) == 0.0
    assert reservoir_litres(tub, 2 * height) == pytest.approx(full)


@given(base=sizes, height=sizes)
def test_a_straight_vessel_is_its_area_times_its_depth(base: float, height: float) -> None:
    assert reservoir_litres(box(base, base, height)) == pytest.approx(base**2 * height / 1e6)


@given(base=sizes, top=sizes, height=sizes)
def test_a_cone_holds_the_published_frustum(base: float, top: float, height: float) -> None:
    """V = pi h/12 (D^2 + D d + d^2), any handbook of geometry."""
    pot = replace(box(top, top, height), shape="round", base_length=base, base_width=base)
    volume = pi * height / 12 * (top**2 + top * base + base**2) / 1e6
    assert reservoir_litres(pot) == pytest.approx(volume)

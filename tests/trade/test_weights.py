"""Wet weights, lifting and soil against published or worked values. Ids of the first three are
second-hand or published as named; what is arithmetic on stated inputs says so."""

import pytest

from designer.model.catalogue import load_catalogue
from designer.stand.lifting import recommended_weight
from designer.stand.loads import drained_mass, dry_medium, hollow_blocks, soak_test
from designer.stand.support import soil_pressure

TWENTY_LITRES = 0.020
INCH = 0.0254
PSF = 47.880258980336
"""Pa in a pound-force per square foot (NIST SP 811, from memory)."""


def test_twenty_litres_of_coir() -> None:
    """Middles of the printed ranges of Evans, Konduru and Stamps, HortScience 1996: 60 kg/m3 and
    76.5 % water make 1.2 kg dry, 15.3 kg water, 16.5 kg."""
    assert dry_medium(TWENTY_LITRES, 60) == pytest.approx(1.2, rel=0.01)
    assert drained_mass(TWENTY_LITRES, 60, 76.5) == pytest.approx(16.5, rel=0.01)
    coir = load_catalogue().parts["coir"]
    assert (coir.bulk_density, coir.water_percent) == (60, 76.5)  # type: ignore[union-attr]


@pytest.mark.parametrize(("density", "mass"), [(30, 0.6), (150, 3.0)])
def test_twenty_litres_of_dry_perlite(density: float, mass: float) -> None:
    """Range printed in Korean J. Soil Sci. Fert. 54(3):276-288, 2021: 0.03 to 0.15 g/cm3."""
    assert dry_medium(TWENTY_LITRES, density) == pytest.approx(mass)


def test_soaking_and_draining_a_bucket_of_perlite() -> None:
    """Purdue University's test with a grower's figures: 20 L takes 12.2 L and drains 7.8 L."""
    found = soak_test(20, 12.2, 7.8)
    assert (found.porosity, found.air, found.water) == pytest.approx((61, 39, 22))
    assert found.water / 100 * 20 == pytest.approx(4.4)


def test_more_water_cannot_drain_than_was_filled() -> None:
    with pytest.raises(ValueError, match="drains"):
        soak_test(20, 7.8, 12.2)


@pytest.mark.parametrize(
    ("density", "water", "mass"),
    [(100, 35, 9.0), (70, 75, 16.4), (380, 15, 10.6), (600, 30, 18.0), (85, 55, 12.7)],
)
def test_drained_contents_of_a_twenty_litre_bucket(
    density: float, water: float, mass: float
) -> None:
    """Perlite, coir, expanded clay, pumice, perlite and coir: arithmetic on typical values, the
    water from memory except coir's."""
    assert drained_mass(TWENTY_LITRES, density, water) == pytest.approx(mass, abs=0.051)


@pytest.mark.parametrize(
    ("reach", "height", "travel", "limit"),
    [(25, 75, 25, 23.0), (30, 35, 45, 15.52), (40, 35, 45, 11.64)],
)
def test_recommended_weights(reach: float, height: float, travel: float, limit: float) -> None:
    """NIOSH 94-110: 23 kg at its ideal (printed); the others computed from its multipliers."""
    assert recommended_weight(reach, height, travel) == pytest.approx(limit, abs=0.005)


@pytest.mark.parametrize(("reach", "height", "travel"), [(64, 75, 25), (30, 176, 25)])
def test_nothing_is_recommended_out_of_reach(reach: float, height: float, travel: float) -> None:
    """NIOSH 94-110, ends of the ranges, from memory."""
    assert recommended_weight(reach, height, travel) == 0.0


def test_one_block_lying_on_clay_carries_1241_lb() -> None:
    """7.625 x 15.625 in on 1500 psf, IRC table R401.4.1: 1241 lb = 5.52 kN (arithmetic)."""
    limit = load_catalogue().limit("soil_clay") * 1000
    assert limit == pytest.approx(1500 * PSF, rel=1e-3)
    force = 1241 * 4.4482216
    pressed = soil_pressure(force, 0.0, 15.625 * INCH, 7.625 * INCH)
    assert pressed == pytest.approx(limit, rel=2e-3)


@pytest.mark.parametrize(("soil", "psf"), [("clay", 1500), ("sand", 2000), ("gravel", 3000)])
def test_soils_bear_what_the_residential_code_presumes(soil: str, psf: float) -> None:
    """IRC table R401.4.1 and IBC table 1806.2 (opened in a reproduction)."""
    assert load_catalogue().limit(f"soil_{soil}") * 1000 == pytest.approx(psf * PSF, rel=1e-3)


def test_a_hollow_block_weighs_between_28_and_42_lb() -> None:
    """Web pages that disagree (second-hand, weak): 8x8x16 normal weight."""
    mass = hollow_blocks(1, 0.3969, 0.1937, 0.1937)
    assert 28 <= mass / 0.45359237 <= 42

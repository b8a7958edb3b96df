"""Loss factors of fittings against the published methods and tables they come from."""

import pytest

from designer.water import fittings

HALF_INCH = 0.01580  # bore of 1/2 in schedule 40 pipe at its thinnest wall
TWO_INCH = 0.05250


def method(band: fittings.Band, name: str) -> float:
    return dict(band.methods)[name]


def test_crane_elbows_and_tees() -> None:
    """Crane's fT from `fluids`; 30 fT checked there, 20 fT and 60 fT from memory."""
    for bore, elbow, run, branch in ((HALF_INCH, 0.77, 0.51, 1.53), (TWO_INCH, 0.57, 0.38, 1.13)):
        assert method(fittings.elbow(bore, 5000.0), "Crane") == pytest.approx(elbow, abs=0.006)
        assert method(fittings.tee_run(bore, 5000.0), "Crane") == pytest.approx(run, abs=0.006)
        found = method(fittings.tee_branch(bore, 5000.0), "Crane")
        assert found == pytest.approx(branch, abs=0.006)


@pytest.mark.parametrize(
    ("reynolds", "hooper", "darby", "branch"),
    [
        (1000.0, 1.84, 1.63, 2.12),
        (2000.0, 1.44, 1.23, 1.87),
        (5000.0, 1.20, 0.99, 1.72),
        (10000.0, 1.12, 0.91, 1.67),
    ],
)
def test_half_inch_fittings_by_hooper_and_darby(
    reynolds: float, hooper: float, darby: float, branch: float
) -> None:
    """Computed from the coefficients of Hooper's 2-K and Darby's 3-K methods (opened)."""
    elbow = fittings.elbow(HALF_INCH, reynolds)
    assert method(elbow, "Hooper 2-K") == pytest.approx(hooper, abs=0.006)
    assert method(elbow, "Darby 3-K") == pytest.approx(darby, abs=0.006)
    tee = fittings.tee_branch(HALF_INCH, reynolds)
    assert method(tee, "Darby 3-K") == pytest.approx(branch, abs=0.006)


@pytest.mark.parametrize(
    ("bore", "elbow", "branch"), [(0.01580, 2.1, 2.4), (0.02664, 1.5, 1.8), (0.05250, 1.0, 1.4)]
)
def test_chart_of_the_hydraulic_institute(bore: float, elbow: float, branch: float) -> None:
    """Table 32a (opened), read by eye to about 10 %; given by nominal size."""
    found = method(fittings.elbow(bore, 5000.0), "Hydraulic Institute")
    assert found == pytest.approx(elbow, rel=0.005)
    found = method(fittings.tee_branch(bore, 5000.0), "Hydraulic Institute")
    assert found == pytest.approx(branch, rel=0.005)
    assert method(fittings.tee_run(bore, 5000.0), "Hydraulic Institute") == 0.9


def test_methods_for_a_half_inch_elbow_spread_two_to_threefold_and_the_band_shows_it() -> None:
    band = fittings.elbow(HALF_INCH, 5000.0)
    assert band.low == pytest.approx(0.77, abs=0.006)
    assert band.high == pytest.approx(2.1, abs=0.01)
    assert band.low < band.middle < band.high
    assert 2.0 < band.high / band.low < 3.0


def test_entries_and_exit() -> None:
    """Hydraulic Institute 0.05, 0.5, 1.0; Crane 0.5, 0.78, exit 1.0; Rennels 0.57 (opened)."""
    assert fittings.bell_entry().middle == 0.05
    square = fittings.square_entry()
    assert (square.low, square.middle, square.high) == (0.5, 0.5, 0.57)
    projecting = fittings.projecting_entry()
    assert (projecting.low, projecting.high) == (0.78, 1.0)
    assert projecting.middle == pytest.approx(0.89)
    assert fittings.exit_loss().middle == 1.0


def test_contraction_from_half_inch_to_quarter_inch_tube() -> None:
    """15.24 to 4.318 mm: K 0.55 on the small pipe (Rennels, by `fluids`)."""
    band = fittings.contraction(0.01524, 0.004318)
    assert method(band, "Rennels") == pytest.approx(0.55, abs=0.005)


def test_sudden_enlargement() -> None:
    """K = (1 - A1/A2)², give or take 3 %: Hydraulic Institute Eq 3.B.3 (opened)."""
    band = fittings.enlargement(0.01, 0.02)
    assert band.middle == pytest.approx((1.0 - 0.25) ** 2)
    assert (band.low, band.high) == pytest.approx((0.97 * band.middle, 1.03 * band.middle))
    assert fittings.enlargement(0.01, 0.01).high == 0.0


def test_a_narrower_barb_costs_more() -> None:
    wide, narrow = fittings.barb(0.0136, 0.004, 0.0043), fittings.barb(0.0136, 0.003, 0.0043)
    assert narrow.low > wide.high
    assert wide.low <= wide.middle <= wide.high


def test_an_insert_coupling_has_the_scatter_of_fifty_percent() -> None:
    """Hydraulic Institute table 3.B.1 (opened): couplings ± 50 %."""
    band = fittings.coupling(0.0136, 0.0105)
    assert band.low < 0.55 * band.middle
    assert band.high > 1.45 * band.middle


def test_flow_past_a_barb_in_a_14_mm_tube() -> None:
    """Montalvo 1983 (from memory): 0.18, 0.14 and 0.10 m of tube for large, standard and small."""
    band = fittings.barb_line_length(0.014)
    assert (band.high, band.middle, band.low) == pytest.approx((0.18, 0.14, 0.10), abs=0.005)


def test_fittings_too_small_for_the_methods_still_have_sane_factors() -> None:
    for bore in (0.002, 0.0043, 0.0068):
        for band in (
            fittings.elbow(bore, 2000.0),
            fittings.tee_run(bore, 2000.0),
            fittings.tee_branch(bore, 2000.0),
        ):
            assert 0.1 < band.low <= band.middle <= band.high < 20.0


def test_a_contraction_the_wrong_way_round_is_refused() -> None:
    with pytest.raises(ValueError, match="wide bore to a narrow"):
        fittings.contraction(0.01, 0.02)
    with pytest.raises(ValueError, match="narrow bore to a wide"):
        fittings.enlargement(0.02, 0.01)

"""Lengths, volumes, masses, flows and slopes are read and written as the trade writes them."""

import doctest
import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer import units
from designer.units import (
    LengthError,
    LengthStyle,
    UnitSystem,
    VolumeError,
    format_bag,
    format_flow,
    format_jug,
    format_length,
    format_mass,
    format_slope,
    format_volume,
    parse_bag,
    parse_length,
    parse_volume,
    reading,
    sizes,
    style_for,
    writing,
)

MM, CM, M = LengthStyle.MM, LengthStyle.CM, LengthStyle.M
INCHES, FEET = LengthStyle.INCHES, LengthStyle.FEET_INCHES
Default = LengthStyle | UnitSystem

styles = st.sampled_from(LengthStyle)
defaults: st.SearchStrategy[Default] = st.one_of(styles, st.sampled_from(["metric", "imperial"]))
lengths_mm = st.floats(-1e6, 1e6)
# Text that is nearly right finds more than text of any characters at all.
near_lengths = st.lists(
    st.one_of(
        st.sampled_from("0123456789.,-/'\" +()eE\u2212\u2032\u2033\u00bd\u215f\u2009\u00b2\u0663"),
        st.sampled_from(
            ["mm", "cm", " m", " ft ", "in", "inf", "nan", "1/2", "1e9", "''", "1,200"]
        ),
        st.sampled_from([" L", "gal", " qt "]),
    ),
    max_size=14,
).map("".join)

STEP_MM = {MM: 1.0, CM: 1.0, M: 1.0, INCHES: 25.4 / 16, FEET: 25.4 / 16}


# ---- Exact sizes ---------------------------------------------------------------------------


def test_international_inch_is_25_4_mm_exactly() -> None:
    # NIST SP 811 appendix B, from memory.
    assert units.MM_PER_INCH == 25.4
    assert parse_length("1 in", "metric") == 25.4
    assert parse_length("1 ft", "metric") == 304.8


def test_us_gallon_is_231_cubic_inches() -> None:
    # NIST Handbook 44 appendix C, from memory.
    cubic_mm = 231 * Fraction("25.4") ** 3
    assert cubic_mm / 10**6 == sizes.GALLON_L == Fraction("3.785411784")
    assert units.LITRES_PER_GALLON == 3.785411784


def test_pound_is_0_45359237_kg_exactly() -> None:
    # NIST SP 811 appendix B, from memory.
    assert units.KG_PER_POUND == 0.45359237


def test_published_pot_of_11_4_litres_is_3_us_gallons() -> None:
    # Shaw et al. 2007, Acta Hortic. 731, doi 10.17660/ActaHortic.2007.731.35: 11.4 L pots.
    assert parse_volume("3.0 gal", "imperial") == pytest.approx(11.4, rel=0.01)


# ---- Reading lengths -----------------------------------------------------------------------

GOOD: list[tuple[str, Default, float, str]] = [
    # feet and inches, with marks
    ("3' 4 1/2\"", "imperial", 1028.7, "3' 4 1/2\""),
    ("3'-4 1/2\"", "imperial", 1028.7, "3' 4 1/2\""),
    ("3' - 4-1/2\"", "imperial", 1028.7, "3' 4 1/2\""),
    ("3'4", "imperial", 1016.0, "3' 4\""),
    ("3'4", "metric", 1016.0, "1016 mm"),
    ("3'", "imperial", 914.4, "3' 0\""),
    ("3' 0 1/2\"", "imperial", 927.1, "3' 0 1/2\""),
    ("3'-1/2\"", "imperial", 927.1, "3' 0 1/2\""),
    ("6\u2032 2\u2033", "metric", 1879.6, "1880 mm"),
    ("6\u2019 2\u201d", "imperial", 1879.6, "6' 2\""),
    ("2''", MM, 50.8, "51 mm"),
    ('3 1/4"', "imperial", 82.55, '3 1/4"'),
    ('3\u00bd"', "imperial", 88.9, '3 1/2"'),
    ('3-\u00bd"', "imperial", 88.9, '3 1/2"'),
    ('\u215e"', INCHES, 22.225, '7/8"'),
    ('3\u215f8"', INCHES, 79.375, '3 1/8"'),
    # feet and inches, with words
    ("3-1/4 in", "metric", 82.55, "83 mm"),
    ("3 - 1/4 in", INCHES, 82.55, '3 1/4"'),
    ("3 ft 4 in", "imperial", 1016.0, "3' 4\""),
    ("3 ft, 4 in.", "imperial", 1016.0, "3' 4\""),
    ("3 ft,4 in", "imperial", 1016.0, "3' 4\""),
    ("5 feet", "imperial", 1524.0, "5' 0\""),
    ("5 FEET 6", "metric", 1676.4, "1676 mm"),
    ("1 foot", "imperial", 304.8, "1' 0\""),
    ("12 inches", "imperial", 304.8, "1' 0\""),
    ("12 inches", INCHES, 304.8, '12"'),
    ("1/2 in", "metric", 12.7, "13 mm"),
    ("2 1/2 ft", FEET, 762.0, "2' 6\""),
    # metric
    ("8cm", "imperial", 80.0, '3 1/8"'),
    ("8 CM", "metric", 80.0, "80 mm"),
    (".5m", "metric", 500.0, "500 mm"),
    ("5.", CM, 50.0, "5 cm"),
    ("3,5 cm", CM, 35.0, "3.5 cm"),
    (",5 m", M, 500.0, "0.50 m"),
    ("0,125 m", M, 125.0, "0.125 m"),
    ("1 m 20 cm", "metric", 1200.0, "1200 mm"),
    ("1 m 20 cm 5 mm", M, 1205.0, "1.205 m"),
    ("1.03 m", CM, 1030.0, "103 cm"),
    ("1.03 M", M, 1030.0, "1.03 m"),
    ("1.200 m", M, 1200.0, "1.20 m"),
    ("85 cm", "metric", 850.0, "850 mm"),
    ("2 metres", M, 2000.0, "2.00 m"),
    ("20 millimeters", CM, 20.0, "2 cm"),
    # bare numbers take the unit of the field
    ("40.5", "imperial", 1028.7, "3' 4 1/2\""),
    ("40.5", INCHES, 1028.7, '40 1/2"'),
    ("40.5", FEET, 1028.7, "3' 4 1/2\""),
    ("40.5", "metric", 40.5, "41 mm"),
    ("40.5", MM, 40.5, "41 mm"),
    ("40.5", CM, 405.0, "40.5 cm"),
    ("40.5", M, 40500.0, "40.50 m"),
    ("1/2", "imperial", 12.7, '1/2"'),
    ("3 1/4", "imperial", 82.55, '3 1/4"'),
    ("1200", "metric", 1200.0, "1200 mm"),
    # signs and pasted spaces
    ("-1/2", "imperial", -12.7, '-1/2"'),
    ("\u221212 mm", "metric", -12.0, "-12 mm"),
    ("- 3' 4\"", "imperial", -1016.0, "-3' 4\""),
    ("+8 cm", "metric", 80.0, "80 mm"),
    ("-0", "metric", 0.0, "0 mm"),
    ("0", "imperial", 0.0, '0"'),
    ("85\u00a0cm", "metric", 850.0, "850 mm"),
    ("85\u2009cm", "metric", 850.0, "850 mm"),
    ("\t3\u202f1\u20444\u202fin\n", "imperial", 82.55, '3 1/4"'),
    ("\ufeff85 cm\u200b", "metric", 850.0, "850 mm"),
]


@pytest.mark.parametrize(("text", "default", "mm", "canonical"), GOOD)
def test_length_as_people_write_it(text: str, default: Default, mm: float, canonical: str) -> None:
    read = parse_length(text, default)
    assert read == pytest.approx(mm, rel=1e-15)
    style = default if isinstance(default, LengthStyle) else style_for(default)
    assert format_length(read, style) == canonical


BAD: list[tuple[str, Default, str]] = [
    ("1,200 mm", "metric", "Is 1,200 meant as 1200 or 1.2?"),
    ("3,125", "imperial", "Is 3,125 meant as 3125 or 3.125?"),
    ("1,000 m", M, "Is 1,000 meant as 1000 or 1?"),
    ("1,200.5 mm", MM, "no mark between the thousands"),
    ("1.200,5 mm", MM, "no mark between the thousands"),
    ("1 200 mm", MM, "Is 1 200 one number?"),
    ("3 4 in", "imperial", "give each number its unit"),
    ("8 cmm", "metric", "Unknown unit 'cmm'; did you mean mm or cm?"),
    ("8 fet", "imperial", "did you mean ft?"),
    ("8 furlongs", "imperial", "Unknown unit 'furlongs'; use mm, cm, m, in or ft."),
    ("1e5", "metric", "Unknown unit 'e'"),
    ("3 x 4", "metric", "Unknown unit 'x'"),
    ("5 L", "metric", "Unknown unit 'l'"),
    ("1/0 in", "imperial", "cannot have 0 below the line"),
    ("3 1/0", "imperial", "cannot have 0 below the line"),
    ("3 5/4 in", "imperial", "must be less than 1"),
    ("\u00bd7 in", "imperial", "Is 1/2 7 one number?"),
    ("3.5 1/2 in", "imperial", "Is 3.5 1/2 one number?"),
    ("", "metric", "Type a length, such as 1030 mm."),
    ("   ", "imperial", "Type a length, such as 3' 4 1/2\"."),
    ("-", CM, "Type a length, such as 103 cm."),
    ("nan", "metric", "Cannot read 'nan'"),
    ("inf", "metric", "Cannot read 'inf'"),
    ("-inf mm", "metric", "Cannot read 'inf mm'"),
    ("about a foot", INCHES, 'type one such as 40 1/2".'),
    ("cm", M, "Cannot read 'cm'"),
    ("5 feet six", "imperial", "Cannot read 'six'"),
    ("--5", "metric", "Cannot read '-5'"),
    (".", "metric", "Cannot read '.'"),
    ("1/2/3", "imperial", "Cannot read '/3' after 1/2"),
    ("3.1/4", "imperial", "Cannot read '/4' after 3.1"),
    ("8 cm!", "metric", "Cannot read '!'"),
    ("5 - 3", "metric", "does not subtract"),
    ("1 m - 20 cm", "metric", "does not subtract"),
    ("3'-", "imperial", "Leave out the '-' at the end"),
    ("20 cm 1 m", "metric", "larger unit first"),
    ("4\" 3'", "imperial", "larger unit first"),
    ("1 m 2 m", "metric", "each unit once"),
    ("1 ft 20 cm", "metric", "Use ft or cm, not both"),
    ("1 m 200 cm", "metric", "must be less than 100 cm"),
    ("1' 12\"", "imperial", "must be less than 12 in"),
    ("1 m 20", "metric", "Say the unit of 20"),
    ("9" * 59, "metric", "more than 10 km"),
    ("9" * 61, "metric", "too long for one length"),
    ("11 000 000 000 m", "metric", "one number"),
    ("10001 m", "metric", "more than 10 km"),
    ("\u00b2 mm", "metric", "Cannot read"),
    ("\u0663 mm", "metric", "Cannot read"),
    ("3\x005", "metric", "Cannot read"),
]


@pytest.mark.parametrize(("text", "default", "words"), BAD)
def test_unclear_length_is_refused_with_a_remedy(text: str, default: Default, words: str) -> None:
    with pytest.raises(LengthError) as refusal:
        parse_length(text, default)
    message = str(refusal.value)
    assert words in message
    assert message.endswith((".", "?"))
    assert len(message) < 160


@given(text=st.one_of(st.text(st.characters()), near_lengths), default=defaults)
def test_any_text_is_a_finite_length_or_a_length_error(text: str, default: Default) -> None:
    try:
        mm = parse_length(text, default)
    except LengthError:
        return
    assert abs(mm) <= 1e7


@given(mm=lengths_mm, style=styles, default=defaults)
def test_what_is_written_reads_back_to_half_a_step(
    mm: float, style: LengthStyle, default: Default
) -> None:
    # The unit is always written, so the field's own unit must not matter.
    back = parse_length(format_length(mm, style), default)
    assert abs(back - mm) <= STEP_MM[style] / 2 + 1e-9


@given(mm=lengths_mm, style=styles, places=st.integers(0, 2))
def test_writing_again_what_was_read_changes_nothing(
    mm: float, style: LengthStyle, places: int
) -> None:
    shown = format_length(mm, style, places)
    assert format_length(parse_length(shown, style), style, places) == shown


@given(mm=st.floats(0, 1e6), style=styles)
def test_a_number_without_its_unit_reads_as_the_unit_of_the_field(
    mm: float, style: LengthStyle
) -> None:
    shown = format_length(mm, style)
    bare = shown.rstrip('" mc')
    if not bare.endswith("'"):
        assert parse_length(bare, style) == parse_length(shown, "metric")


@given(mm=lengths_mm, style=styles)
def test_the_negative_of_a_length_is_the_same_text_with_a_minus(
    mm: float, style: LengthStyle
) -> None:
    shown = format_length(abs(mm), style)
    negative = format_length(-abs(mm), style)
    if parse_length(shown, style) == 0:
        assert negative == shown
    else:
        assert negative == "-" + shown
        assert parse_length(negative, style) == -parse_length(shown, style)


# ---- Writing lengths -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "style", "text"),
    [
        (1030, MM, "1030 mm"),
        (0.5, MM, "1 mm"),
        (-0.4, MM, "0 mm"),
        (-0.0, FEET, '0"'),
        (1034, CM, "103.4 cm"),
        (999.6, M, "1.00 m"),
        (1005, M, "1.005 m"),
        (-1030, M, "-1.03 m"),
        (304.7, FEET, "1' 0\""),  # 11.996 in: the carry must reach the feet
        (304.7, INCHES, '12"'),
        (25.3, INCHES, '1"'),
        (25.4 * 3 / 16, INCHES, '3/16"'),
        (-12.7, FEET, '-1/2"'),
        (-0.3, INCHES, '0"'),
        (-927.1, FEET, "-3' 0 1/2\""),
    ],
)
def test_length_is_rounded_once_then_split(mm: float, style: LengthStyle, text: str) -> None:
    assert format_length(mm, style) == text


@pytest.mark.parametrize(
    ("mm", "style", "text"),
    [
        (25.4, MM, "25.4 mm"),
        (25.0, MM, "25 mm"),
        (25.96, MM, "26 mm"),
        (25.4, CM, "2.54 cm"),
        (25.4, M, "0.0254 m"),
        (25.4, INCHES, '1"'),
    ],
)
def test_hole_diameter_shows_tenths_of_mm_where_needed(
    mm: float, style: LengthStyle, text: str
) -> None:
    assert format_length(mm, style, places=1) == text


def test_each_style_is_named_by_its_own_example() -> None:
    for style in LengthStyle:
        assert format_length(parse_length(style.value, "metric"), style) == style.value


def test_style_for_each_reader() -> None:
    assert style_for("metric") is MM
    assert style_for("imperial") is FEET


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_length_that_is_no_number_is_never_written(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        format_length(value, MM)
    with pytest.raises(ValueError, match="finite"):
        format_slope(value, "imperial")


# ---- Volumes, masses, flows, slopes --------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "system", "litres", "canonical"),
    [
        ("19 L", "metric", 19.0, "19 L"),
        ("19l", "imperial", 19.0, "5.02 gal"),
        ("1,5 litres", "metric", 1.5, "1.5 L"),
        ("1 liter", "metric", 1.0, "1 L"),
        ("750 ml", "metric", 0.75, "0.75 L"),
        ("1 L 500 mL", "metric", 1.5, "1.5 L"),
        ("5 gal", "imperial", 18.92705892, "5 gal"),
        ("5", "imperial", 18.92705892, "5 gal"),
        ("5", "metric", 5.0, "5 L"),
        ("2 1/2 gallons", "imperial", 9.46352946, "2.5 gal"),
        ("1 gallon 2 qt", "metric", 5.678117676, "5.68 L"),
        ("1 qt", "imperial", 0.946352946, "0.25 gal"),
        ("1\u00bd gal", "metric", 5.678117676, "5.68 L"),
        ("416 L", "metric", 416.0, "416 L"),
    ],
)
def test_volume_as_people_write_it(
    text: str, system: UnitSystem, litres: float, canonical: str
) -> None:
    assert parse_volume(text, system) == pytest.approx(litres, rel=1e-15)
    assert format_volume(litres, system) == canonical


@pytest.mark.parametrize(
    ("text", "system", "words"),
    [
        ("", "metric", "Type a volume, such as 19 L."),
        ("-5 gal", "imperial", "cannot be less than 0"),
        ("1,200 L", "metric", "Is 1,200 meant as 1200 or 1.2?"),
        ("5 galons", "imperial", "did you mean gal?"),
        ("5 cm", "metric", "Unknown unit 'cm'"),
        ("5 xyz", "metric", "use ml, L, qt, gal or cu ft."),
        ("5'", "imperial", "Unknown unit"),
        ("1 gal 1 L", "metric", "not both in one volume"),
        ("1 gal - 1 qt", "imperial", "does not subtract"),
        ("a bucket", "imperial", "type one such as 5 gal."),
    ],
)
def test_unclear_volume_is_refused_with_a_remedy(text: str, system: UnitSystem, words: str) -> None:
    with pytest.raises(VolumeError) as refusal:
        parse_volume(text, system)
    assert words in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "system", "litres", "canonical"),
    [
        ("4 cu ft", "imperial", 113.267386368, "4 cu ft"),
        ("4", "imperial", 113.267386368, "4 cu ft"),
        ("2 Cubic Feet", "metric", 56.633693184, "56.6 L"),
        ("1 1/2 cu. ft", "imperial", 42.475269888, "1.5 cu ft"),
        ("8 qt", "imperial", 7.570823568, "8 qt"),
        ("100 L", "imperial", 100.0, "3.53 cu ft"),
        ("100", "metric", 100.0, "100 L"),
    ],
)
def test_bags_are_sold_by_the_litre_the_quart_or_the_cubic_foot(
    text: str, system: UnitSystem, litres: float, canonical: str
) -> None:
    """Arithmetic: 12 in cubed are 1728 cubic inches of 25.4 mm."""
    assert parse_bag(text, system) == pytest.approx(litres, rel=1e-12)
    assert format_bag(litres, system) == canonical


def test_a_bag_that_cannot_be_read_is_refused_with_an_example_of_a_bag() -> None:
    for text, system, words in (
        ("", "metric", "such as 50 L."),
        ("big", "imperial", "such as 2 cu ft."),
        ("-2", "imperial", "cannot be less than 0"),
    ):
        with pytest.raises(VolumeError, match=words):
            parse_bag(text, system)


@given(text=st.one_of(st.text(st.characters()), near_lengths))
def test_any_text_is_a_finite_volume_or_a_volume_error(text: str) -> None:
    for system in ("metric", "imperial"):
        try:
            litres = parse_volume(text, system)
        except VolumeError:
            continue
        assert 0 <= litres <= 1e7


@given(litres=st.floats(0, 1e6))
def test_volume_written_again_after_reading_changes_nothing(litres: float) -> None:
    for system in ("metric", "imperial"):
        shown = format_volume(litres, system)
        assert format_volume(parse_volume(shown, system), system) == shown


def test_three_figures_are_enough_for_volume_mass_and_flow() -> None:
    assert format_volume(11.4, "metric") == "11.4 L"
    assert format_volume(99.96, "metric") == "100 L"
    assert format_volume(-0.001, "metric") == "0 L"
    assert format_mass(12.34, "metric") == "12.3 kg"
    assert format_mass(0.45359237, "imperial") == "1 lb"
    assert format_mass(-2.5, "metric") == "-2.5 kg"
    assert format_flow(250, "metric") == "250 L/h"
    assert format_flow(250, "imperial") == "66 gal/h"
    assert format_flow(2, "imperial") == "0.53 gal/h"


@pytest.mark.parametrize(
    ("slope", "metric", "imperial"),
    [
        (0.0075, "0.75 % (1 in 133)", "7/8 in per 10 ft (0.75 %)"),
        (1 / 96, "1.04 % (1 in 96)", "1/8 in per ft (1.04 %)"),
        (1 / 48, "2.08 % (1 in 48)", "1/4 in per ft (2.08 %)"),
        (-1 / 96, "-1.04 % (1 in 96)", "-1/8 in per ft (-1.04 %)"),
        (0.01, "1 % (1 in 100)", "1 3/16 in per 10 ft (1 %)"),
        (0.3, "30 % (1 in 3.3)", "36 in per 10 ft (30 %)"),
        (0.0, "level (0 %)", "level (0 %)"),
        (-1e-9, "level (0 %)", "level (0 %)"),
    ],
)
def test_slope_as_fall_over_run(slope: float, metric: str, imperial: str) -> None:
    assert format_slope(slope, "metric") == metric
    assert format_slope(slope, "imperial") == imperial


@pytest.mark.parametrize("module", [reading, writing])
def test_examples_in_the_docstrings_are_true(module: object) -> None:
    failed, tried = doctest.testmod(module)  # type: ignore[arg-type]
    assert tried > 0
    assert failed == 0


def test_a_jug_shows_millilitres_or_fluid_ounces_to_two_figures() -> None:
    assert format_jug(0.7149, "metric") == "710 ml"
    assert format_jug(1.0, "metric") == "1000 ml"
    assert format_jug(1.0, "imperial") == "34 fl oz"

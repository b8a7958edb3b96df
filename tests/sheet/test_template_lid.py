"""The lid's template: its arc is the rim, and the holes stand where the arc's middle says."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from designer.sheet.paper import A4, LETTER, Paper
from designer.sheet.template import Printing
from designer.sheet.template_lid import LidSheet, lid_template
from tests.sheet.measure import Circle, fit_circle, render, strokes
from tests.sheet.printed import print_templates

ALL_PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
CLEAR_TURNS = np.radians([q * 90 + a for q in range(4) for a in np.arange(20, 71, 2.0)])


def lid(plants: int = 1, rim: float = 303.2, plant: float = 50.8) -> LidSheet:
    return LidSheet("Lid: pail", rim, plants, plant, 7.35, "", "buckets A to F")


def printed(path: Path, sheet: LidSheet, paper: Paper) -> int:
    printing = Printing(paper, "metric")
    template = lid_template(sheet, "metric", ["b1"])
    print_templates(path, [template], printing)
    return len(template.pages(printing))


def round_ones(path: Path, page: int) -> list[Circle]:
    return [fit_circle(s.points) for s in strokes(path, page) if s.curved]


@ALL_PAPERS
def test_the_rim_s_arc_finds_the_middle_of_the_lid(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "lid.pdf"
    assert printed(path, lid(), paper) == 1
    found = {round(c.radius, 1): c for c in round_ones(path, 0)}
    rim, plant, feed = found[151.6], found[25.4], found[3.7]
    assert rim.radius == pytest.approx(151.6, abs=0.06)  # four Beziers are true to 0.027 %
    assert (plant.x, plant.y) == pytest.approx((rim.x, rim.y), abs=0.05)
    assert feed.x == pytest.approx(rim.x, abs=0.05)
    assert feed.y - plant.y == pytest.approx((25.4 + 151.6) / 2, abs=0.02)


@ALL_PAPERS
def test_holes_and_rim_are_true_in_ink(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "lid.pdf"
    printed(path, lid(), paper)
    ink = render(path, 0)
    found = {round(c.radius, 1): c for c in round_ones(path, 0)}
    for radius in (25.4, 3.7):
        inked = ink.circle(found[radius], CLEAR_TURNS)
        assert 2 * inked.radius == pytest.approx(2 * found[radius].radius, abs=0.05)
        assert 2 * inked.radius == pytest.approx(50.8 if radius > 20 else 7.35, abs=0.05)
        assert inked.out_of_round < 0.05
    half = math.degrees(math.asin(70 / 151.6))
    turns = np.radians([90 + s * a for s in (-1, 1) for a in np.linspace(4, half, 20)])
    rim = ink.circle(found[151.6], turns)
    assert 2 * rim.radius == pytest.approx(303.2, abs=0.15)
    middle = found[25.4]
    for turn in turns[::4]:
        ray = np.array([math.cos(turn), math.sin(turn)])
        start, stop = (np.array([middle.x, middle.y]) + (151.6 + d) * ray for d in (-1.0, 1.0))
        off = ink.line_place(tuple(start), tuple(stop)) - 1.0
        assert off == pytest.approx(0, abs=0.05)


@ALL_PAPERS
@pytest.mark.parametrize("plants", [2, 3, 5])
def test_several_plants_stand_evenly_about_the_middle_and_the_feed_hole_is_on_one_page(
    plants: int, paper: Paper, tmp_path: Path
) -> None:
    sheet = lid(plants)
    path = tmp_path / "lid.pdf"
    pages = printed(path, sheet, paper)
    seen = [round_ones(path, page) for page in range(pages)]
    assert sum(any(abs(c.radius - 3.675) < 0.02 for c in page) for page in seen) >= 1
    for page in seen:
        rim = [c for c in page if abs(c.radius - 151.6) < 0.1]
        for hole in (c for c in page if abs(c.radius - 25.4) < 0.05):
            if rim:
                assert math.hypot(hole.x - rim[0].x, hole.y - rim[0].y) == pytest.approx(
                    0.42 * 151.6, abs=0.06
                )
    assert len({(p, round(c.x), round(c.y)) for p, page in enumerate(seen) for c in page}) > plants


@pytest.mark.parametrize(
    ("sheet", "words"),
    [
        ((1, 303.2, 290.0), "as wide as the lid"),
        ((12, 303.2, 50.0), "12 plants do not fit"),
        ((1, 303.2, 0.0), "need a diameter"),
    ],
)
def test_a_lid_that_cannot_be_is_refused_with_its_name(
    sheet: tuple[int, float, float], words: str
) -> None:
    with pytest.raises(ValueError, match=f"^Lid: pail: .*{words}"):
        lid(*sheet)

"""The collar round a bucket: what is far apart on the wall is as far apart on the joined paper."""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from designer.layout.unroll import Frustum, Unrolling
from designer.sheet.paper import A4, LETTER, Paper
from designer.sheet.template import Printing
from designer.sheet.template_collar import BucketCollar, CollarPlace, WallHole, collar_template
from tests.layout.geodesics import distances
from tests.sheet.joining import Joined, join_row, slanted_crosses
from tests.sheet.measure import Circle, Stroke, fit_circle, render, strokes
from tests.sheet.printed import print_templates

PAIL = BucketCollar(
    "Collar: pail",
    267.5,
    293.7,
    361.95,
    (WallHole(0.0, 76.2, 25.4, "Outlet: 1 in"), WallHole(1.9, 300.0, 20.0, "Overflow: 20 mm")),
    "Measure yours.",
    "buckets A to F",
)
ALL_PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
CLEAR_TURNS = np.radians([q * 90 + a for q in range(4) for a in np.arange(15, 76, 2.0)])


Spot = tuple[float, float]


def sizes_of(collar: BucketCollar) -> tuple[float, float, float]:
    return collar.bottom_diameter, collar.top_diameter, collar.height


def over_wall(spots: list[tuple[BucketCollar, Spot, Spot]]) -> np.ndarray:
    """Shortest distances over the walls between points (angle, height)."""
    rows = [(*sizes_of(c), abs(a[0] - b[0]), a[1], b[1]) for c, a, b in spots]
    return distances(*np.array(rows).T)


def test_random_collars_keep_every_distance_over_the_wall() -> None:
    """200 buckets, six points of each: the quarters at the base, the hole, one on the top edge."""
    dice = np.random.default_rng(7)
    flat, spots = [], []
    for _ in range(200):
        height = float(dice.uniform(150, 600))
        base = float(dice.uniform(150, 450))
        top = base + 2 * height * math.tan(math.radians(dice.uniform(-3, 10)))
        hole_height = float(dice.uniform(20, height - 20))
        hole = WallHole(float(dice.uniform(-2.5, 3)), hole_height, 25.0, "hole")
        collar = BucketCollar("Collar", base, max(top, 100), height, (hole,), "", "")
        place = CollarPlace(collar)
        points = [(math.pi / 2 * i, 0.0) for i in range(-1, 3)]
        points += [(hole.angle, hole.height), (-2.8, collar.top)]
        for a, b in combinations(points, 2):
            # Over more than half of the girth the way round the other side is shorter.
            if 0.02 < abs(a[0] - b[0]) <= math.pi:
                flat.append(math.dist(place.at(*a), place.at(*b)))
                spots.append((collar, a, b))
    assert len(flat) > 2000
    assert np.array(flat) == pytest.approx(over_wall(spots), abs=0.02)


def test_random_patches_keep_every_distance_from_their_hole() -> None:
    """The patch lies about the hole's centre; 200 buckets, the base line to both sides of it."""
    dice = np.random.default_rng(8)
    sizes, flat = [], []
    for _ in range(200):
        height, base = dice.uniform(150, 600), dice.uniform(150, 450)
        top = base + 2 * height * math.tan(math.radians(dice.uniform(-3, 10)))
        hole, phi = dice.uniform(20, height - 20), dice.uniform(0.05, 0.9)
        sizes.append((base, top, height, phi, hole, 0.0))
        unrolling = Unrolling(Frustum(base, top, height), hole)
        reach = abs(unrolling.unroll(phi, 0.0)[0])
        edge = unrolling.level_line(0.0, -reach, reach)
        flat.append([math.hypot(*edge[0]), math.hypot(*edge[-1])])
    wanted = distances(*np.array(sizes).T)
    assert np.array(flat) == pytest.approx(np.column_stack([wanted, wanted]), abs=0.02)


@pytest.fixture(scope="module", params=[A4, LETTER], ids=lambda paper: paper.name)
def printed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory):
    """A collar with one low hole, so that it prints as one row of pages, and those joined."""
    collar = BucketCollar("Collar: pail", 267.5, 293.7, 361.95, PAIL.holes[:1], "", "buckets A")
    path = tmp_path_factory.mktemp("collar") / "collar.pdf"
    printing = Printing(request.param, "metric")
    template = collar_template(collar, "metric")
    print_templates(path, [template], printing)
    return path, collar, join_row(path, 0, len(template.pages(printing)))


def hole_of(joined: Joined, radius: float) -> tuple[int, Circle]:
    """The page that carries a hole whole, and the hole on it."""
    for number, page in enumerate(joined.pages):
        for stroke in page:
            if stroke.curved:
                circle = fit_circle(stroke.points)
                if abs(circle.radius - radius) < 0.05:
                    return number, circle
    raise AssertionError("no page shows the hole")


def rulings(joined: Joined, collar: BucketCollar) -> list[np.ndarray]:
    """The straight lines up the wall, foot first, in one frame, from left to right."""
    up = Frustum(collar.bottom_diameter, collar.top_diameter, collar.height).along_wall(collar.top)
    found: list[np.ndarray] = []
    for number, page in enumerate(joined.pages):
        for stroke in page:
            if stroke.is_line and abs(stroke.length - up) < 0.02:
                ends = joined.place(number, stroke.points)
                ends = ends[np.argsort(ends[:, 1])]
                if all(np.abs(ends - other).max() > 1.0 for other in found):
                    found.append(ends)
    return sorted(found, key=lambda ends: ends[0][0])


def test_the_joined_pages_fit_each_other(printed) -> None:
    _, _, joined = printed
    assert len(joined.pages) > 3
    assert joined.misfit < 0.02


def test_holes_and_quarters_of_the_joined_pages_are_as_far_apart_as_on_the_wall(printed) -> None:
    _, collar, joined = printed
    angles = [-0.92 * math.pi, -math.pi / 2, 0, math.pi / 2, math.pi, 1.08 * math.pi]
    lines = rulings(joined, collar)
    assert len(lines) == len(angles)
    page, circle = hole_of(joined, 12.7)
    measured = {(0.0, 76.2): joined.place(page, np.array([circle.x, circle.y]))}
    for angle, (foot, head) in zip(angles, lines, strict=True):
        measured[angle, 0.0] = foot
        measured[angle, collar.top] = head
    pairs = [
        (a, b) for a, b in combinations(measured, 2) if 0.01 < abs(a[0] - b[0]) <= math.pi + 0.01
    ]
    assert len(pairs) > 40
    flat = [float(np.hypot(*(measured[a] - measured[b]))) for a, b in pairs]
    wanted = over_wall([(collar, a, b) for a, b in pairs])
    assert np.array(flat) == pytest.approx(wanted, abs=0.05)


def test_the_two_ends_meet_edge_to_edge(printed) -> None:
    """The ends are as long as each other, and the base line is once round the base."""
    _, collar, joined = printed
    lines = rulings(joined, collar)
    first, last = lines[0], lines[-1]
    ends = [np.hypot(*(line[1] - line[0])) for line in (first, last)]
    assert ends[0] == pytest.approx(ends[1], abs=0.02)
    base = next(
        joined.place(0, stroke.points)
        for stroke in joined.pages[0]
        if len(stroke.points) > 100 and abs(stroke.width - 0.5) < 1e-3
    )
    assert np.hypot(*np.diff(base, axis=0).T).sum() == pytest.approx(
        math.pi * collar.bottom_diameter, abs=0.05
    )
    assert base[0] == pytest.approx(first[0], abs=0.02)
    assert base[-1] == pytest.approx(last[0], abs=0.02)


def test_the_printed_hole_is_whole_on_one_page_and_true_in_ink(printed) -> None:
    path, _, joined = printed
    page, circle = hole_of(joined, 12.7)
    ink = render(path, page)
    inked = ink.circle(circle, CLEAR_TURNS)
    assert 2 * inked.radius == pytest.approx(25.4, abs=0.05)
    assert (inked.x, inked.y) == pytest.approx((circle.x, circle.y), abs=0.05)


def test_the_crosses_by_which_pages_are_joined_are_true_in_ink(printed) -> None:
    path, _, joined = printed
    for number, page in enumerate(joined.pages):
        ink = render(path, number)
        for x, y in slanted_crosses(page):
            # Each arm is read 1 mm from the middle, clear of the joint's dashed line.
            sides = [
                x + s - 0.6 + ink.line_place((x + s - 0.6, y + 1), (x + s + 0.6, y + 1))
                for s in (-1, 1)
            ]
            ends = [
                y + s - 0.6 + ink.line_place((x + 1, y + s - 0.6), (x + 1, y + s + 0.6))
                for s in (-1, 1)
            ]
            assert (np.mean(sides), np.mean(ends)) == pytest.approx((x, y), abs=0.05)


def test_the_printed_level_line_is_as_high_as_the_hole_everywhere_in_ink(printed) -> None:
    """On every page, from the base line up along the wall; read between the joints."""
    path, collar, joined = printed
    frustum = Frustum(collar.bottom_diameter, collar.top_diameter, collar.height)
    wanted = frustum.along_wall(76.2)
    for number, page in enumerate(joined.pages):
        base = next(s.points for s in page if len(s.points) > 100 and abs(s.width - 0.5) < 1e-3)
        tip = fit_circle(base)
        edges = slice_of(number, page)
        ink = render(path, number)
        read = 0
        for x in np.arange(edges[0] + 12, edges[1] - 12, 23.0):
            turn = math.acos((x - tip.x) / tip.radius)
            ray = np.array([math.cos(turn), math.sin(turn)])
            foot = np.array([tip.x, tip.y]) + tip.radius * ray
            if not clear_of_others(page, foot, ray, wanted, base):
                continue
            start, stop = foot + (wanted - 1.2) * ray, foot + (wanted + 1.2) * ray
            low, high = foot - 1.2 * ray, foot + 1.2 * ray
            up = wanted - 1.2 + ink.line_place(tuple(start), tuple(stop))
            down = ink.line_place(tuple(low), tuple(high)) - 1.2
            assert up - down == pytest.approx(wanted, abs=0.05)
            read += 1
        assert read >= 2


def slice_of(number: int, page: list[Stroke]) -> tuple[float, float]:
    """Left and right edge of what a page shows, by its crosses; an end piece has them once."""
    across = slanted_crosses(page)[:, 0]
    if np.ptp(across) > 1.0:
        return float(across.min()), float(across.max())
    joint = float(across.mean())
    return (joint - 120.0, joint) if number == 0 else (joint, joint + 120.0)


def clear_of_others(
    page: list[Stroke], foot: np.ndarray, ray: np.ndarray, wanted: float, base: np.ndarray
) -> bool:
    """Whether only the two arcs are near the two places that are read, within both their ends."""
    if not base[:, 0].min() + 3 < foot[0] < base[:, 0].max() - 3:
        return False
    for spot in (foot, foot + wanted * ray):
        for s in page:
            near = min(np.hypot(*(s.points - spot).T)) if len(s.points) < 60 else np.inf
            crossing = s.is_line and _from_line(s.points, spot) < 3.0
            if near < 3.0 or crossing:
                return False
    return True


def _from_line(ends: np.ndarray, spot: np.ndarray) -> float:
    along = ends[1] - ends[0]
    share = np.clip(np.dot(spot - ends[0], along) / np.dot(along, along), 0, 1)
    return float(np.hypot(*(ends[0] + share * along - spot)))


@ALL_PAPERS
def test_a_tall_collar_is_cut_both_ways_and_shows_both_holes(paper: Paper, tmp_path: Path) -> None:
    printing = Printing(paper, "imperial")
    template = collar_template(PAIL, "imperial", ["b1"])
    pages = template.pages(printing)
    assert len(pages) >= 8
    path = tmp_path / "tall.pdf"
    print_templates(path, [template], printing)
    radii = {
        round(fit_circle(s.points).radius, 2)
        for i in range(len(pages))
        for s in strokes(path, i)
        if s.curved
    }
    assert {12.7, 10.0} <= radii


@pytest.mark.parametrize(
    ("holes", "words"),
    [
        ((), "no hole to mark"),
        ((WallHole(0, 10, 25, ""),), "over the edge"),
        ((WallHole(0, 355, 25, ""),), "over the edge"),
        ((WallHole(0, 180, 0, ""),), "over the edge"),
        ((WallHole(0, 170, 300, ""),), "wider than the bucket"),
    ],
)
def test_a_collar_that_cannot_be_is_refused_in_words(
    holes: tuple[WallHole, ...], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        BucketCollar("Collar", 260, 290, 360, holes, "", "")

"""Collars round the drain and saddles, measured on the page and wrapped back onto their pipes."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from designer.sheet.paper import A4, LETTER, Paper
from designer.sheet.template import Printing
from designer.sheet.template_saddle import SaddleSheet, saddle_template
from designer.sheet.template_wrap import PipeCollar, wrap_template
from tests.sheet.measure import Stroke, render, strokes
from tests.sheet.printed import print_templates

ALL_PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
COLLAR = PipeCollar("Collar", 60.33, 32.0, "32 mm", "", "buckets A to F")
SADDLE = SaddleSheet("Saddle", "2 in pipe", 60.32, "1 1/2 in pipe", 48.26, "buckets A to F")


def page_of(path: Path, template, paper: Paper) -> list[Stroke]:
    """The strokes of a template's only page."""
    printing = Printing(paper, "metric")
    assert len(template.pages(printing)) == 1
    print_templates(path, [template], printing)
    return strokes(path, 0)


def chains(page: list[Stroke], width: float, least: int = 40) -> list[np.ndarray]:
    """Chains of many points drawn at a line width."""
    return [s.points for s in page if len(s.points) > least and abs(s.width - width) < 1e-3]


def along_ink(ink, points: np.ndarray, step: int) -> np.ndarray:
    """Distance of the ink from the drawn chain, read square to it at every `step`-th point."""
    misses = []
    for i in range(step, len(points) - step, step):
        way = points[i + 1] - points[i - 1]
        square = np.array([-way[1], way[0]]) / np.hypot(*way)
        start, stop = points[i] - 0.9 * square, points[i] + 0.9 * square
        misses.append(ink.line_place(tuple(start), tuple(stop)) - 0.9)
    return np.array(misses)


def on_pipe(flat: np.ndarray, diameter: float) -> np.ndarray:
    """Flat points (x round, y along) wrapped onto a pipe whose crown is up: (side, along, up)."""
    radius = diameter / 2
    turn = flat[:, 0] / radius
    return np.column_stack([radius * np.sin(turn), flat[:, 1], radius * np.cos(turn)])


@ALL_PAPERS
def test_a_collar_wraps_once_round_its_pipe_and_leaves_the_saw_s_round_hole(
    paper: Paper, tmp_path: Path
) -> None:
    page = page_of(tmp_path / "collar.pdf", wrap_template(COLLAR, "metric"), paper)
    outline = next(s.points for s in page if len(s.points) >= 4 and len(s.points) < 8)
    across, along = np.ptp(outline, axis=0)
    assert across == pytest.approx(math.pi * 60.33, abs=0.02)
    assert along == pytest.approx(32 + 50, abs=0.02)
    (hole,) = chains(page, 0.5)
    middle = (outline.min(axis=0) + outline.max(axis=0)) / 2
    wrapped = on_pipe(hole - middle, 60.33)
    # Seen along the drill the hole is round, and of the saw's size.
    assert np.hypot(wrapped[:, 0], wrapped[:, 1]) == pytest.approx(16.0, abs=0.01)


@ALL_PAPERS
def test_the_collar_s_hole_and_edges_are_true_in_ink(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "collar.pdf"
    page = page_of(path, wrap_template(COLLAR, "metric"), paper)
    ink = render(path, 0)
    (hole,) = chains(page, 0.5)
    # The cross meets the outline nowhere, but the crown line does at top and bottom.
    clear = hole[np.abs(hole[:, 0] - hole[:, 0].mean()) > 2.5]
    assert np.abs(along_ink(ink, clear[:60], 4)).max() < 0.05
    outline = next(s.points for s in page if 4 <= len(s.points) < 8)
    (left, low), (right, _) = outline.min(axis=0), outline.max(axis=0)
    y = low + 10.0
    ends = [x - 1.5 + ink.line_place((x - 1.5, y), (x + 1.5, y)) for x in (left, right)]
    assert ends[1] - ends[0] == pytest.approx(math.pi * 60.33, abs=0.05)


@ALL_PAPERS
def test_a_saddle_wrapped_round_its_pipe_sits_on_the_other(paper: Paper, tmp_path: Path) -> None:
    page = page_of(tmp_path / "saddle.pdf", saddle_template(SADDLE, "metric"), paper)
    hole, cut = sorted(chains(page, 0.5), key=lambda points: -points[:, 1].max())
    branch, main = 48.26 / 2, 60.32 / 2
    assert np.ptp(cut, axis=0) == pytest.approx([151.61, 12.067], abs=0.01)
    turn = (cut[:, 0] - cut[:, 0].min()) / branch - math.pi
    side = branch * np.sin(turn)
    # The cut's highest points rest on the crown; every other hangs down to the main's surface.
    up = main - (cut[:, 1].max() - cut[:, 1])
    assert np.hypot(side, up) == pytest.approx(main, abs=0.01)
    assert np.ptp(hole, axis=0) == pytest.approx([55.94, 48.26], abs=0.01)
    middle = (hole.min(axis=0) + hole.max(axis=0)) / 2
    wrapped = on_pipe(hole - middle, 60.32)
    assert np.hypot(wrapped[:, 0], wrapped[:, 1]) == pytest.approx(branch, abs=0.01)


@ALL_PAPERS
def test_the_saddle_s_curves_are_true_in_ink(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "saddle.pdf"
    page = page_of(path, saddle_template(SADDLE, "metric"), paper)
    ink = render(path, 0)
    hole, cut = sorted(chains(page, 0.5), key=lambda points: -points[:, 1].max())
    for points in (cut, hole):
        away = [p for p in points if all(not (s.is_line and _near(s.points, p)) for s in page)]
        runs = _runs(np.array(away), points)
        read = np.concatenate([along_ink(ink, run, 3) for run in runs if len(run) > 9])
        assert len(read) >= 15
        assert np.abs(read).max() < 0.05


def _near(ends: np.ndarray, spot: np.ndarray) -> bool:
    along = ends[1] - ends[0]
    share = np.clip(np.dot(spot - ends[0], along) / np.dot(along, along), 0, 1)
    return bool(np.hypot(*(ends[0] + share * along - spot)) < 1.6)


def _runs(kept: np.ndarray, points: np.ndarray) -> list[np.ndarray]:
    """Stretches of neighbouring points that were kept."""
    keep = [any(np.array_equal(p, k) for k in kept) for p in points]
    cuts = [i for i, one in enumerate(keep) if not one]
    return [run for run in np.split(points, cuts) if len(run)]


@pytest.mark.parametrize(("hole", "words"), [(0, "needs a diameter"), (61, "as wide as the pipe")])
def test_a_pipe_collar_that_cannot_be_is_refused_in_words(hole: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        PipeCollar("Collar", 60.33, hole, "", "", "")


def test_a_tail_as_wide_as_the_drain_has_no_saddle() -> None:
    with pytest.raises(ValueError, match=r"^Saddle: the pipe is as wide"):
        SaddleSheet("Saddle", "drain", 50.0, "tail", 50.0, "")

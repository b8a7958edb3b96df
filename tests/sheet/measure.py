"""Measuring printed pages: drawn paths and rendered ink, in mm from the paper's lower left corner.

Two traps of the renderer are minded here. It snaps filled rectangles outward to whole pixels, so
only stroked ticks are measured; and it stretches the page onto a bitmap of whole pixels, so the
pixel pitch is the page's size over the bitmap's, not 25.4 / dpi.
"""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium

MM_PER_POINT = 25.4 / 72


@dataclass(frozen=True)
class Stroke:
    """One stroked path: its points (n, 2) with curves sampled, whether curved, its width."""

    points: np.ndarray
    curved: bool
    width: float

    @property
    def is_line(self) -> bool:
        return not self.curved and len(self.points) == 2

    @property
    def length(self) -> float:
        return float(np.hypot(*(self.points[-1] - self.points[0])))


@dataclass(frozen=True)
class Circle:
    x: float
    y: float
    radius: float
    out_of_round: float


@dataclass(frozen=True)
class Ink:
    """Darkness (0 white, 1 black) of a rendered page; row 0 is the top."""

    dark: np.ndarray
    width: float
    height: float

    @property
    def pitch(self) -> tuple[float, float]:
        rows, columns = self.dark.shape
        return self.width / columns, self.height / rows

    def sample(self, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Darkness at points in mm, between pixel centres linearly."""
        across, down = self.pitch
        column, row = x / across - 0.5, (self.height - y) / down - 0.5
        c, r = np.floor(column).astype(int), np.floor(row).astype(int)
        u, v = column - c, row - r
        d = self.dark
        return (
            d[r, c] * (1 - u) * (1 - v)
            + d[r, c + 1] * u * (1 - v)
            + d[r + 1, c] * (1 - u) * v
            + d[r + 1, c + 1] * u * v
        )

    def line_place(self, start: tuple[float, float], end: tuple[float, float]) -> float:
        """Distance from ``start`` toward ``end`` at which a crossing line's ink is centred."""
        along = np.linspace(0, 1, 2000)
        x = start[0] + (end[0] - start[0]) * along
        y = start[1] + (end[1] - start[1]) * along
        weight = self.sample(x, y)
        assert weight.sum() > 0, "no ink between the two points"
        reach = float(np.hypot(end[0] - start[0], end[1] - start[1]))
        return float((along * weight).sum() / weight.sum()) * reach

    def circle(self, near: Circle, turns: np.ndarray) -> Circle:
        """The circle of ink within 1 mm of ``near``, looked for at the given angles (rad)."""
        points = []
        for turn in turns:
            inner, outer = near.radius - 1.0, near.radius + 1.0
            ray = np.array([np.cos(turn), np.sin(turn)])
            start = (near.x + inner * ray[0], near.y + inner * ray[1])
            end = (near.x + outer * ray[0], near.y + outer * ray[1])
            points.append(np.array(start) + self.line_place(start, end) * ray)
        return fit_circle(np.array(points))


def render(path: Path, page: int, dpi: int = 600) -> Ink:
    """The ink of page ``page`` (from 0)."""
    with pypdfium2.PdfDocument(path) as document:
        sheet = document[page]
        width, height = (side * MM_PER_POINT for side in sheet.get_size())
        bitmap = sheet.render(scale=dpi / 72, grayscale=True)
        grey = bitmap.to_numpy().reshape(bitmap.height, -1)[:, : bitmap.width]
        dark = 1 - grey.astype(np.float32) / 255
    return Ink(dark, width, height)


def strokes(path: Path, page: int) -> list[Stroke]:
    """Every stroked path of page ``page``, from the file's own coordinates."""
    found = []
    with pypdfium2.PdfDocument(path) as document:
        sheet = document[page]
        for item in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
            found.append(_stroke(item.raw))
    return found


def _stroke(raw: pdfium.FPDF_PAGEOBJECT) -> Stroke:
    matrix = pdfium.FS_MATRIX()
    assert pdfium.FPDFPageObj_GetMatrix(raw, matrix)
    width = ctypes.c_float()
    assert pdfium.FPDFPageObj_GetStrokeWidth(raw, width)
    points: list[np.ndarray] = []
    bends: list[np.ndarray] = []
    curved = False
    for i in range(pdfium.FPDFPath_CountSegments(raw)):
        segment = pdfium.FPDFPath_GetPathSegment(raw, i)
        x, y = ctypes.c_float(), ctypes.c_float()
        assert pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        point = np.array(
            [
                matrix.a * x.value + matrix.c * y.value + matrix.e,
                matrix.b * x.value + matrix.d * y.value + matrix.f,
            ]
        )
        if pdfium.FPDFPathSegment_GetType(segment) == pdfium.FPDF_SEGMENT_BEZIERTO:
            curved = True
            bends.append(point)
            if len(bends) == 3:
                points += _bezier(points[-1], *bends)
                bends = []
        else:
            points.append(point)
    return Stroke(np.array(points) * MM_PER_POINT, curved, width.value * MM_PER_POINT)


def _bezier(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> list[np.ndarray]:
    return [
        a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t**2 * (1 - t) + d * t**3
        for t in np.linspace(0, 1, 25)[1:]
    ]


def fit_circle(points: np.ndarray) -> Circle:
    """Least squares circle through points (n, 2)."""
    x, y = points[:, 0], points[:, 1]
    system = np.column_stack([2 * x, 2 * y, np.ones(len(x))])
    (a, b, c), *_ = np.linalg.lstsq(system, x**2 + y**2, rcond=None)
    radius = float(np.sqrt(c + a**2 + b**2))
    gaps = np.hypot(x - a, y - b) - radius
    return Circle(float(a), float(b), radius, float(np.abs(gaps).max()))


def circles(path: Path, page: int) -> list[Circle]:
    """Circles, and parts of circles, drawn on page ``page``."""
    return [fit_circle(stroke.points) for stroke in strokes(path, page) if stroke.curved]


@dataclass(frozen=True)
class Bar:
    """A measuring bar: its lower or left tick at (x, y), its length, whether it runs upward."""

    x: float
    y: float
    length: float
    upward: bool


def bars(path: Path, page: int) -> list[Bar]:
    """Measuring bars of page ``page``: a straight line with a 5 mm tick across each end, larger or
    smaller by what a printer may be corrected."""
    lines = [stroke for stroke in strokes(path, page) if stroke.is_line]
    found = []
    for line in lines:
        (x1, y1), (x2, y2) = line.points
        upward = bool(abs(x2 - x1) < 1e-3)
        ends = [
            tick.points.mean(axis=0)
            for tick in lines
            if abs(tick.length - 5) < 0.13
            and bool(abs(tick.points[0][0] - tick.points[1][0]) < 1e-3) != upward
            and min(np.hypot(*(tick.points.mean(axis=0) - point)) for point in ((x1, y1), (x2, y2)))
            < 0.05
        ]
        if len(ends) == 2:
            found.append(Bar(float(x1), float(y1), float(np.hypot(*(ends[1] - ends[0]))), upward))
    return found


def bar_length_of_ink(ink: Ink, bar: Bar) -> float:
    """The bar's length from tick to tick in the rendered ink, read beside the bar's own line."""
    places = []
    for end in (0.0, bar.length):
        if bar.upward:
            start, stop = (bar.x + 1.5, bar.y + end - 1.5), (bar.x + 1.5, bar.y + end + 1.5)
        else:
            start, stop = (bar.x + end - 1.5, bar.y - 1.5), (bar.x + end + 1.5, bar.y - 1.5)
        places.append(end + ink.line_place(start, stop))
    return places[1] - places[0]

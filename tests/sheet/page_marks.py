"""What stands on printed pages, read from the file alone: words with the box of their ink, and
drawn lines and areas, in the order in which they are painted.

Points from the paper's lower left corner. PDFium gives the bounds of a text's ink, not of its
line, so two lines that only share their leading do not touch.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
from shapely import LineString, MultiLineString, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

Box = tuple[float, float, float, float]

_BEND_POINTS = 12
"""Points by which one Bezier curve is followed; a circle has four."""


@dataclass(frozen=True)
class Words:
    """One run of text: its ink's outline, its size, and its place in the order of painting."""

    text: str
    outline: Polygon
    size: float
    bold: bool
    order: int

    @cached_property
    def box(self) -> Box:
        left, bottom, right, top = self.outline.bounds
        return left, bottom, right, top


@dataclass(frozen=True)
class Shape:
    """A drawn path: its lines where it is stroked, its area where it is filled.

    Only what is shown of it: what a clipping path cuts off is not there. `width` is that of the
    line; `hides` is how much of what was painted before the fill covers.
    """

    lines: BaseGeometry | None
    area: BaseGeometry | None
    width: float
    hides: float
    order: int
    dashed: bool = False


@dataclass(frozen=True)
class PageMarks:
    """All that stands on one page, its size, and its links: a box and the page it leads to."""

    number: int
    width: float
    height: float
    words: list[Words] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)
    links: list[tuple[Box, int | None]] = field(default_factory=list)

    @property
    def said(self) -> str:
        return " ".join(words.text for words in self.words)


@dataclass(frozen=True)
class FileMarks:
    """Every page of a file, and its bookmarks: level, title and page number from 1."""

    pages: list[PageMarks]
    bookmarks: list[tuple[int, str, int | None]]


def read_marks(data: bytes) -> FileMarks:
    """The marks of a PDF."""
    with pypdfium2.PdfDocument(data) as document:
        pages = [_page(document, i) for i in range(len(document))]
        bookmarks = []
        for item in document.get_toc(max_depth=4):
            target = item.get_dest()
            index = target.get_index() if target is not None else None
            bookmarks.append((item.level, item.get_title(), None if index is None else index + 1))
    return FileMarks(pages, bookmarks)


def _page(document: pypdfium2.PdfDocument, index: int) -> PageMarks:
    page = document[index]
    assert page.get_rotation() == 0
    assert page.get_cropbox() == page.get_mediabox()
    made = PageMarks(index + 1, *page.get_size())
    text_page = page.get_textpage()
    for order, item in enumerate(page.get_objects(max_depth=1)):
        raw = item.raw
        assert item.type in (pdfium.FPDF_PAGEOBJ_TEXT, pdfium.FPDF_PAGEOBJ_PATH), item.type
        if item.type == pdfium.FPDF_PAGEOBJ_TEXT:
            words = _words(raw, text_page.raw, order)
            if words is not None:
                made.words.append(words)
        else:
            shape = _shape(raw, order)
            if shape is not None:
                made.shapes.append(shape)
    made.links.extend(_links(document, page))
    text_page.close()
    page.close()
    return made


def _words(raw: pdfium.FPDF_PAGEOBJECT, text_page: object, order: int) -> Words | None:
    length = pdfium.FPDFTextObj_GetText(raw, text_page, None, 0)
    buffer = ctypes.create_string_buffer(length)
    pdfium.FPDFTextObj_GetText(
        raw, text_page, ctypes.cast(buffer, ctypes.POINTER(pdfium.FPDF_WCHAR)), length
    )
    text = buffer.raw[:length].decode("utf-16-le").strip("\0 ")
    if not text:
        return None
    quad = pdfium.FS_QUADPOINTSF()
    assert pdfium.FPDFPageObj_GetRotatedBounds(raw, quad)
    size = ctypes.c_float()
    assert pdfium.FPDFTextObj_GetFontSize(raw, size)
    matrix = _matrix(raw)
    corners = [(getattr(quad, f"x{i}"), getattr(quad, f"y{i}")) for i in range(1, 5)]
    font = pdfium.FPDFTextObj_GetFont(raw)
    name = ctypes.create_string_buffer(128)
    pdfium.FPDFFont_GetBaseFontName(font, name, 128)
    return Words(
        text,
        Polygon(corners),
        size.value * float(np.hypot(matrix.c, matrix.d)),
        b"Bold" in name.value,
        order,
    )


def _matrix(raw: pdfium.FPDF_PAGEOBJECT) -> pdfium.FS_MATRIX:
    matrix = pdfium.FS_MATRIX()
    assert pdfium.FPDFPageObj_GetMatrix(raw, matrix)
    return matrix


def _shape(raw: pdfium.FPDF_PAGEOBJECT, order: int) -> Shape | None:
    mode, stroked = ctypes.c_int(), ctypes.c_int()
    assert pdfium.FPDFPath_GetDrawMode(raw, mode, stroked)
    filled = mode.value != pdfium.FPDF_FILLMODE_NONE
    chains = [chain for chain in _chains(raw) if len(chain) > 1]
    if not chains or not (filled or stroked.value):
        return None
    width = ctypes.c_float()
    assert pdfium.FPDFPageObj_GetStrokeWidth(raw, width)
    area: BaseGeometry | None = None
    if filled:
        rings = [Polygon(chain).buffer(0) for chain in chains if len(chain) > 2]
        area = unary_union(rings) if rings else None
    lines: BaseGeometry | None = None
    if stroked.value:
        kept = [chain for chain in chains if np.ptp(chain, axis=0).max() > 0]
        lines = LineString(kept[0]) if len(kept) == 1 else MultiLineString(kept)
    window = _clip(raw)
    if window is not None:
        area = None if area is None else area.intersection(window)
        lines = None if lines is None else lines.intersection(window)
    return Shape(
        lines,
        area,
        width.value,
        _opacity(raw) if filled else 0.0,
        order,
        pdfium.FPDFPageObj_GetDashCount(raw) > 0,
    )


def _clip(raw: pdfium.FPDF_PAGEOBJECT) -> BaseGeometry | None:
    """What the clipping paths in force leave to be seen, None for all."""
    clip = pdfium.FPDFPageObj_GetClipPath(raw)
    window: BaseGeometry | None = None
    for path in range(max(pdfium.FPDFClipPath_CountPaths(clip), 0)):
        points = []
        for i in range(pdfium.FPDFClipPath_CountPathSegments(clip, path)):
            segment = pdfium.FPDFClipPath_GetPathSegment(clip, path, i)
            x, y = ctypes.c_float(), ctypes.c_float()
            assert pdfium.FPDFPathSegment_GetPoint(segment, x, y)
            assert pdfium.FPDFPathSegment_GetType(segment) != pdfium.FPDF_SEGMENT_BEZIERTO
            points.append((x.value, y.value))
        part = Polygon(points)
        window = part if window is None else window.intersection(part)
    return window


def _opacity(raw: pdfium.FPDF_PAGEOBJECT) -> float:
    red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
    assert pdfium.FPDFPageObj_GetFillColor(raw, red, green, blue, alpha)
    return alpha.value / 255


def _chains(raw: pdfium.FPDF_PAGEOBJECT) -> Iterator[np.ndarray]:
    """The path's straight chains, curves followed, each closed one ending where it began."""
    matrix = _matrix(raw)
    points: list[np.ndarray] = []
    bends: list[np.ndarray] = []
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
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_MOVETO:
            if points:
                yield np.array(points)
            points, bends = [point], []
        elif kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            bends.append(point)
            if len(bends) == 3:
                points += _bend(points[-1], *bends)
                bends = []
        else:
            points.append(point)
        if pdfium.FPDFPathSegment_GetClose(segment):
            points.append(points[0])
    if points:
        yield np.array(points)


def _bend(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> list[np.ndarray]:
    return [
        a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t**2 * (1 - t) + d * t**3
        for t in np.linspace(0, 1, _BEND_POINTS + 1)[1:]
    ]


def _links(
    document: pypdfium2.PdfDocument, page: pypdfium2.PdfPage
) -> Iterator[tuple[Box, int | None]]:
    place, link = ctypes.c_int(0), pdfium.FPDF_LINK()
    while pdfium.FPDFLink_Enumerate(page.raw, place, link):
        target = pdfium.FPDFLink_GetDest(document.raw, link)
        if not target:
            action = pdfium.FPDFLink_GetAction(link)
            target = pdfium.FPDFAction_GetDest(document.raw, action) if action else None
        number = pdfium.FPDFDest_GetDestPageIndex(document.raw, target) + 1 if target else None
        rect = pdfium.FS_RECTF()
        assert pdfium.FPDFLink_GetAnnotRect(link, rect)
        yield (rect.left, rect.bottom, rect.right, rect.top), number

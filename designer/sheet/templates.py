"""Full-scale drill templates as PDF pages: bucket outlets, drain pipes and manifold tubes.

Works on plain values; mapping a design to them is the caller's business. Pages are drawn on a
canvas that the caller goes on using, or into a file of their own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.paper import Paper, register_fonts, start_canvas
from designer.sheet.pen import Pen
from designer.sheet.template_page import Numbering
from designer.sheet.template_patch import BucketPatch, draw_patch_page
from designer.sheet.template_strip import draw_strip_page, strip_pages
from designer.sheet.template_tiles import HoleStrip, StripHole, Tile, tile_layout
from designer.units import UnitSystem

__all__ = [
    "BucketPatch",
    "HoleStrip",
    "StripHole",
    "Tile",
    "count_template_pages",
    "draw_templates",
    "template_starts",
    "tile_layout",
    "write_templates",
]

Progress = Callable[[int, int], None]
"""Called with pages done and pages in all; it may raise to stop the work."""


def count_template_pages(
    patches: Sequence[BucketPatch], strips: Sequence[HoleStrip], paper: Paper, units: UnitSystem
) -> int:
    """How many pages the templates take."""
    return len(patches) + sum(strip_pages(strip, paper, units) for strip in strips)


def template_starts(
    patches: Sequence[BucketPatch], strips: Sequence[HoleStrip], paper: Paper, units: UnitSystem
) -> list[tuple[str, int]]:
    """Title of each template and its first template page, from 1."""
    starts = [(patch.title, i) for i, patch in enumerate(patches, 1)]
    page = len(patches) + 1
    for strip in strips:
        starts.append((strip.title, page))
        page += strip_pages(strip, paper, units)
    return starts


def draw_templates(
    canvas: Canvas,
    patches: Sequence[BucketPatch],
    strips: Sequence[HoleStrip],
    paper: Paper,
    units: UnitSystem,
    progress: Progress | None = None,
    before: int = 0,
    started: Callable[[str], None] | None = None,
) -> None:
    """Draw one page per patch, then the pages of each strip, each ended with showPage.

    ``before`` is the number of sheets before them in their file; ``started`` is called with the
    title of each template before its first page.

    The canvas must stand at the start of a page. Its page size is left at the last page's; make
    sure its file asks for /PrintScaling /None, as ``start_canvas`` does. What ``progress`` raises
    comes through.
    """
    register_fonts()
    pen = Pen(canvas)
    count = count_template_pages(patches, strips, paper, units)
    number = 0
    for patch in patches:
        number += 1
        if started:
            started(patch.title)
        draw_patch_page(pen, patch, paper, units, Numbering(number, count, before))
        if progress:
            progress(number, count)
    for strip in strips:
        for page in range(strip_pages(strip, paper, units)):
            number += 1
            if started and page == 0:
                started(strip.title)
            draw_strip_page(pen, strip, page, paper, units, Numbering(number, count, before))
            if progress:
                progress(number, count)


def write_templates(
    path: Path | str,
    patches: Sequence[BucketPatch],
    strips: Sequence[HoleStrip],
    paper: Paper,
    units: UnitSystem,
    title: str = "Drill templates",
    progress: Progress | None = None,
) -> None:
    """Write a PDF of the templates alone.

    Nothing is written when ``progress`` raises. Raises ValueError when there is no template, and
    OSError when the file cannot be written.
    """
    if not patches and not strips:
        raise ValueError("There is nothing to drill yet. Add a bucket first.")
    canvas = start_canvas(path, title)
    draw_templates(canvas, patches, strips, paper, units, progress)
    canvas.save()

"""The build sheet at several sizes, beside as many bare pages of lines and words."""

import io
from collections.abc import Iterator
from time import perf_counter

import pypdfium2
from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

from designer.sheet.build_sheet import build_sheet_bytes
from tests.bench.beds import analysed


def rows() -> Iterator[str]:
    """A line for each size: seconds, pages, and the ratio to bare pages."""
    for buckets in (10, 100):
        analysis = analysed(buckets)
        start = perf_counter()
        data = build_sheet_bytes(analysis)
        ours = perf_counter() - start
        pages = len(pypdfium2.PdfDocument(data))
        bare = _bare(pages)
        yield (
            f"{buckets:4} buckets: {ours:5.2f} s, {pages} pages, {len(data) / 1e6:.1f} MB; "
            f"{ours / bare:4.1f} x bare pages"
        )


def _bare(pages: int) -> float:
    start = perf_counter()
    canvas = Canvas(io.BytesIO(), pagesize=A4)
    for page in range(pages):
        for i in range(200):
            canvas.line(50, 50 + i * 3, 500, 50 + i * 3)
            canvas.drawString(60, 50 + i * 3, f"line {i} of page {page}")
        canvas.showPage()
    canvas.save()
    return perf_counter() - start

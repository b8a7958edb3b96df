"""Pages as pictures: at exactly their scale, whole or in parts, from any thread."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from reportlab.pdfgen.canvas import Canvas

from designer.window.page_images import PageImages, PageSize, Raster

POINT = 72 / 25.4


@pytest.fixture(scope="module")
def pdf() -> bytes:
    """An upright page with a black square of 10 mm at 20, 30 from its head, and a lying one."""
    canvas = Canvas("", pagesize=(210 * POINT, 297 * POINT))
    canvas.rect(20 * POINT, (297 - 40) * POINT, 10 * POINT, 10 * POINT, stroke=0, fill=1)
    canvas.showPage()
    canvas.setPageSize((297 * POINT, 210 * POINT))
    canvas.showPage()
    return canvas.getpdfdata()


def dark(raster: Raster) -> np.ndarray:
    shape = raster.height, raster.width, 4
    return np.frombuffer(raster.data, np.uint8).reshape(shape)[..., 1] < 128


def test_sizes_are_true_and_held_as_drawn(pdf: bytes) -> None:
    first, second = PageImages(pdf).sizes
    assert (first.width, first.height) == pytest.approx((210.0, 297.0), abs=1e-4)
    assert second == PageSize(first.height, first.width)


@pytest.mark.parametrize("per_mm", [1.0, 3.78, 10.0])
def test_a_mm_is_as_many_pixels_as_asked_for(pdf: bytes, per_mm: float) -> None:
    ink = dark(PageImages(pdf).raster(0, per_mm))
    rows, columns = (np.flatnonzero(ink.any(axis)) for axis in (1, 0))
    assert (columns[0], rows[0]) == pytest.approx((20 * per_mm, 30 * per_mm), abs=1)
    assert len(columns) == pytest.approx(10 * per_mm, abs=1)


def test_parts_put_together_are_the_whole(pdf: bytes) -> None:
    images = PageImages(pdf)
    whole = dark(images.raster(0, 4.0))
    height, width = whole.shape
    tops = [(0, 100), (100, 101), (201, height - 201)]
    bands = [dark(images.raster(0, 4.0, (0, top, width, high))) for top, high in tops]
    assert np.array_equal(np.vstack(bands), whole)


def test_a_part_without_ink_is_blank(pdf: bytes) -> None:
    images = PageImages(pdf)
    assert not images.raster(0, 1.0).blank
    assert images.raster(1, 1.0).blank


def test_what_is_no_pdf_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="cannot be shown"):
        PageImages(b"nothing of the kind")


def test_closed_pages_are_not_there_and_close_twice(pdf: bytes) -> None:
    images = PageImages(pdf)
    images.close()
    images.close()
    with pytest.raises(IndexError):
        images.raster(0, 1.0)


def test_several_threads_see_the_same(pdf: bytes) -> None:
    many = [PageImages(pdf) for _ in range(4)]
    with ThreadPoolExecutor(4) as threads:
        found = list(threads.map(lambda n: many[n % 4].raster(0, 2.0).data, range(40)))
    assert len(set(found)) == 1

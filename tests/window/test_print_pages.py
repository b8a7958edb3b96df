"""Printing at true size: what is drawn in mm comes out in mm, on any paper, however it lies."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from pypdfium2 import PdfDocument
from PySide6.QtGui import QPageRanges
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot
from reportlab.pdfgen.canvas import Canvas

from designer.window.page_images import PageImages, PageSize
from designer.window.print_layout import PrinterLimits, layout_of, paper_words, warnings
from designer.window.print_pages import PrintJob, drawing_dots, page_order

POINT = 72 / 25.4
A4, LETTER = PageSize(210.0, 297.0), PageSize(215.9, 279.4)
TABLOID_LYING, ROLL = PageSize(431.8, 279.4), PageSize(600.0, 150.0)
INK_600 = 0.05
"""Tolerance of a length measured in the ink, mm."""


def marked_pages(sizes: list[PageSize]) -> bytes:
    """Pages with a 28 mm circle at 60, 60, and ticks 100 mm apart across at 20 and along at 20."""
    canvas = Canvas("")
    for size in sizes:
        canvas.setPageSize((size.width * POINT, size.height * POINT))
        canvas.scale(POINT, POINT)
        canvas.setLineWidth(0.2)
        canvas.circle(60, 60, 14)
        for at in (20, 120):
            canvas.line(at, 10, at, 20)
            canvas.line(10, at, 20, at)
        canvas.showPage()
    return canvas.getpdfdata()


def printed(
    qtbot: QtBot, pdf: bytes, path: Path, resolution: int = 600, pages: list[int] | None = None
) -> list[np.ndarray]:
    """The pages as they came out of a printer that prints into a file, at 600 dots per inch with
    dark ink above 0, seen from the foot of the page."""
    images = PageImages(pdf)
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    printer.setResolution(resolution)
    job = PrintJob(images, printer, pages or range(len(images.sizes)))
    with qtbot.waitSignal(job.done, timeout=60_000):
        job.start()
    images.close()
    out = PageImages(path.read_bytes())
    seen = []
    for page in range(len(out.sizes)):
        raster = out.raster(page, 600 / 25.4)
        shape = raster.height, raster.width, 4
        ink = 255 - np.frombuffer(raster.data, np.uint8).reshape(shape)[..., 1].astype(float)
        seen.append(ink[::-1])
    out.close()
    return seen


def middle(ink: np.ndarray, axis: int, box: tuple[float, float, float, float]) -> float:
    """The middle of the ink along an axis in a box of left, bottom, right and top, mm."""
    left, bottom, right, top = (round(mm * 600 / 25.4) for mm in box)
    part = ink[bottom:top, left:right].sum(axis=axis)
    start = left if axis == 0 else bottom
    return (start + (part * (np.arange(len(part)) + 0.5)).sum() / part.sum()) * 25.4 / 600


@pytest.mark.parametrize("resolution", [300, 600, 720, 1200])
def test_ticks_and_circle_come_out_true_whatever_the_printer_s_dots(
    qtbot: QtBot, tmp_path: Path, resolution: int
) -> None:
    (ink,) = printed(qtbot, marked_pages([A4]), tmp_path / "out.pdf", resolution)
    check_true(ink)


@pytest.mark.slow
def test_upright_and_lying_pages_of_several_papers_come_out_true_in_one_print(
    qtbot: QtBot, tmp_path: Path
) -> None:
    sizes = [A4, PageSize(297.0, 210.0), LETTER, PageSize(279.4, 215.9), TABLOID_LYING, ROLL]
    pages = printed(qtbot, marked_pages(sizes), tmp_path / "out.pdf")
    points = [PdfDocument(tmp_path / "out.pdf").get_page_size(i) for i in range(len(sizes))]
    for size, (width, height), ink in zip(sizes, points, pages, strict=True):
        # Qt keeps the paper's size in whole points.
        assert (width, height) == pytest.approx((size.width * POINT, size.height * POINT), abs=0.51)
        check_true(ink)


def check_true(ink: np.ndarray) -> None:
    across = [middle(ink, 0, (at - 3, 11, at + 3, 19)) for at in (20, 120)]
    along = [middle(ink, 1, (11, at - 3, 19, at + 3)) for at in (20, 120)]
    assert across[1] - across[0] == pytest.approx(100.0, abs=INK_600)
    assert along[1] - along[0] == pytest.approx(100.0, abs=INK_600)
    # Opposite points of the circle, in narrow strips through its middle.
    east, west = (middle(ink, 0, (x - 3, 59.8, x + 3, 60.2)) for x in (74, 46))
    north, south = (middle(ink, 1, (59.8, y - 3, 60.2, y + 3)) for y in (74, 46))
    assert east - west == pytest.approx(28.0, abs=INK_600)
    assert north - south == pytest.approx(28.0, abs=INK_600)


def test_the_page_stands_at_its_place_on_the_paper(qtbot: QtBot, tmp_path: Path) -> None:
    (ink,) = printed(qtbot, marked_pages([A4]), tmp_path / "out.pdf")
    assert middle(ink, 0, (17, 11, 23, 19)) == pytest.approx(20.0, abs=0.1)
    assert middle(ink, 1, (11, 17, 19, 23)) == pytest.approx(20.0, abs=0.1)


def test_only_the_pages_asked_for_are_printed(qtbot: QtBot, tmp_path: Path) -> None:
    pages = printed(qtbot, marked_pages([A4, LETTER, A4]), tmp_path / "out.pdf", 300, [1, 1])
    assert len(pages) == 2


def test_a_print_that_is_stopped_says_so_and_nothing_else(qtbot: QtBot, tmp_path: Path) -> None:
    images = PageImages(marked_pages([A4] * 5))
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFileName(str(tmp_path / "out.pdf"))
    job = PrintJob(images, printer, range(5))
    heard: list[str] = []
    job.done.connect(lambda: heard.append("done"))
    job.failed.connect(heard.append)
    job.cancelled.connect(lambda: heard.append("cancelled"))
    job.progressed.connect(lambda done, _: job.stop() if done == 2 else None)
    job.start()
    qtbot.waitUntil(lambda: bool(heard))
    qtbot.wait(100)
    assert heard == ["cancelled"]
    images.close()


@pytest.mark.qt_log_ignore("QPainter::begin")
def test_a_file_that_cannot_be_opened_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    images = PageImages(marked_pages([A4]))
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFileName(str(tmp_path / "gone" / "out.pdf"))
    job = PrintJob(images, printer, [0])
    with qtbot.waitSignal(job.failed) as told:
        job.start()
    assert "could not be opened" in told.args[0]
    images.close()


@pytest.mark.parametrize(
    ("resolution", "dots"), [(300, 300), (600, 600), (720, 720), (1200, 600), (2400, 800)]
)
def test_a_dot_of_ours_is_a_whole_number_of_the_printer_s(resolution: int, dots: int) -> None:
    assert drawing_dots(resolution) == dots


def choose(change: Callable[[QPrinter], object]) -> list[int]:
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    change(printer)
    return page_order(printer, 5, 2)


def test_pages_go_out_as_the_system_s_dialog_says(qapp: object) -> None:
    def ranges(printer: QPrinter) -> None:
        printer.setPrintRange(QPrinter.PrintRange.PageRange)
        printer.setPageRanges(QPageRanges.fromString("2-3,5"))

    def copies(printer: QPrinter) -> None:
        ranges(printer)
        printer.setCopyCount(2)
        printer.setCollateCopies(True)

    def loose(printer: QPrinter) -> None:
        copies(printer)
        printer.setCollateCopies(False)

    assert choose(lambda _: None) == [0, 1, 2, 3, 4]
    assert choose(lambda p: p.setPrintRange(QPrinter.PrintRange.CurrentPage)) == [2]
    assert choose(lambda p: p.setPageOrder(QPrinter.PageOrder.LastPageFirst)) == [4, 3, 2, 1, 0]
    assert choose(ranges) == [1, 2, 4]
    assert choose(copies) == [1, 2, 4, 1, 2, 4]
    assert choose(loose) == [1, 1, 2, 2, 4, 4]


def test_the_paper_of_a_page_is_named_and_laid_as_it_is_held(qapp: object) -> None:
    assert paper_words(A4, "metric") == "A4, upright"
    assert paper_words(TABLOID_LYING, "metric") == "Tabloid, lying"
    assert paper_words(ROLL, "metric") == "600 mm × 150 mm"
    for size in (A4, LETTER, TABLOID_LYING, ROLL, PageSize(300.0, 900.0)):
        held = layout_of(size).fullRect(layout_of(size).Unit.Millimeter)
        assert (held.width(), held.height()) == pytest.approx((size.width, size.height), abs=0.4)


def test_a_printer_that_leaves_wide_edges_or_lacks_the_paper_is_told_of() -> None:
    both = ((210.0, 297.0), (215.9, 279.4))
    good = PrinterLimits("Desk", 4.2, both)
    assert warnings(good, [A4, PageSize(297.0, 210.0), LETTER], "metric") == ()
    (edge,) = warnings(PrinterLimits("Desk", 12.7, both), [A4], "metric")
    assert "12.7 mm" in edge
    assert "may be missing" in edge
    (paper,) = warnings(good, [A4, TABLOID_LYING], "metric")
    assert "Tabloid" in paper
    assert "A4" not in paper
    assert warnings(good, [ROLL], "metric") == ()  # it takes any size
    assert warnings(PrinterLimits("Desk", 4.2, both, any_size=False), [ROLL], "metric")
    assert warnings(PrinterLimits("Silent"), [A4, ROLL], "metric") == ()

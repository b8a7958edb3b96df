"""Pages of a PDF as pictures, at exactly the scale asked for.

PDFium is loaded with the first pages, and every call of it holds its lock. A page is never fitted
to its bitmap, as PDFium does of itself: that stretches it to whole pixels.
"""

from dataclasses import dataclass
from typing import Any

from PySide6.QtGui import QImage

from designer.model.pdfium import PDFIUM
from designer.units import MM_PER_INCH

MM_PER_POINT = MM_PER_INCH / 72


@dataclass(frozen=True, slots=True)
class PageSize:
    """A page as it is held, mm."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Raster:
    """A part of a page in pixels, four bytes each: blue, green, red, and one without meaning."""

    width: int
    height: int
    data: bytes

    @property
    def blank(self) -> bool:
        """Whether nothing is drawn there."""
        return self.data.count(255) == len(self.data)

    def image(self) -> QImage:
        """The same as an image of its own."""
        shape = self.width, self.height, 4 * self.width
        return QImage(self.data, *shape, QImage.Format.Format_RGB32).copy()


class PageImages:
    """A PDF in memory, to be closed when it is done with. May be used from any thread.

    Raises ValueError where the bytes are no PDF.
    """

    def __init__(self, pdf: bytes) -> None:
        import pypdfium2

        with PDFIUM:
            try:
                self._document: Any = pypdfium2.PdfDocument(pdf)
            except pypdfium2.PdfiumError:
                raise ValueError("These pages cannot be shown.") from None
            points = [self._document.get_page_size(i) for i in range(len(self._document))]
        self.sizes = tuple(PageSize(w * MM_PER_POINT, h * MM_PER_POINT) for w, h in points)

    def raster(
        self, page: int, pixels_per_mm: float, box: tuple[int, int, int, int] | None = None
    ) -> Raster:
        """A page, or the `box` of it as left, top, width and height in pixels of the whole page.

        IndexError where there is no such page or the pages are closed.
        """
        size = self.sizes[page]
        left, top, width, height = box or (
            0, 0, round(size.width * pixels_per_mm), round(size.height * pixels_per_mm)
        )  # fmt: skip
        width, height = max(width, 1), max(height, 1)
        with PDFIUM:
            if self._document is None:
                raise IndexError("the pages are closed")
            data = _drawn(self._document, page, pixels_per_mm, (left, top, width, height))
        return Raster(width, height, data)

    def close(self) -> None:
        """Let the memory go. Twice is once."""
        with PDFIUM:
            if self._document is not None:
                self._document.close()
                self._document = None


def _drawn(
    document: Any, number: int, pixels_per_mm: float, box: tuple[int, int, int, int]
) -> bytes:
    import pypdfium2
    from pypdfium2 import raw

    left, top, width, height = box
    scale = pixels_per_mm * MM_PER_POINT
    page = document[number]
    bitmap = pypdfium2.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
    try:
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
        matrix = raw.FS_MATRIX(scale, 0, 0, scale, -left, -top)
        clip = raw.FS_RECTF(0, 0, width, height)
        raw.FPDF_RenderPageBitmapWithMatrix(bitmap.raw, page.raw, matrix, clip, raw.FPDF_ANNOT)
        return bytes(bitmap.buffer)
    finally:
        bitmap.close()
        page.close()

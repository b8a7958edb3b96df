"""The fonts of everything we print, and how wide words are in them.

reportlab is loaded with the first use: the window opens without it.
"""

from functools import cache, lru_cache

from designer.resources import resource_path

POINTS_PER_MM = 72 / 25.4

REGULAR = "Rillwright-Regular"
BOLD = "Rillwright-Bold"


@cache
def register_fonts() -> None:
    """Make ``REGULAR`` and ``BOLD`` known to reportlab; they are embedded in the file."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in ((REGULAR, "NotoSans-Regular.ttf"), (BOLD, "NotoSans-Bold.ttf")):
        pdfmetrics.registerFont(TTFont(name, str(resource_path("fonts", file))))
    pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, REGULAR, BOLD)


def text_width(words: str, size: float, *, bold: bool = False) -> float:
    """How wide words are from where they begin to where they end, in the unit of `size`."""
    return _width_at_one(words, bold) * size


@lru_cache(maxsize=20_000)
def _width_at_one(words: str, bold: bool) -> float:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    register_fonts()
    return float(stringWidth(words, BOLD if bold else REGULAR, 1.0))

"""Links from one place of the file to another: contents to sheets, balloons to lines of a list.

A place is named with :func:`destination` where it is drawn, before or after the links to it. Names
are free, one for each place: "sheet 3", "item pump", "bucket b7". A link whose place the file does
not have is left out, as when only the templates are printed.
"""

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString
from reportlab.pdfgen.canvas import Canvas

from designer.sheet.tagging import Box, tags_of

_ABOVE = 12.0
"""Room left above the place that a link leads to, points."""


def sheet_name(number: int) -> str:
    """The name of a whole sheet, by its number from 1."""
    return f"sheet {number}"


def destination(canvas: Canvas, name: str, y: float | None = None) -> None:
    """Give the page being drawn, or the height `y` on it, a name that links can lead to.

    `y` is in points as the canvas stands. Raises ValueError where the name is taken.
    """
    if canvas._bookmarkReference(name).page is not None:
        raise ValueError(f"two places of the file are called {name!r}")
    if y is None:
        canvas.bookmarkPage(name)
    else:
        canvas.bookmarkHorizontal(name, 0, y + _ABOVE)


def link_to(canvas: Canvas, name: str, box: Box, words: str) -> None:
    """Make a box on the page a link to a named place; nothing of it is seen or printed.

    `box` is in points as the canvas stands; `words` say where it leads ("Sheet 4, Cut list"). Call
    it inside the element that is drawn there. Nothing happens on a canvas without tags.
    """
    tags = tags_of(canvas)
    if tags is None:
        return
    annotation = PDFDictionary(
        {
            "Type": PDFName("Annot"),
            "Subtype": PDFName("Link"),
            "Rect": PDFArray(canvas._absRect(box, 1)),
            "Border": PDFArray([0, 0, 0]),
            "Contents": PDFString(words),
            "Dest": canvas._bookmarkReference(name),
        }
    )
    tags.link(annotation)

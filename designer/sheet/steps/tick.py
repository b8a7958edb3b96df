"""A box to tick beside the words of what is to be done."""

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from designer.sheet.pages import BODY, paragraph
from designer.sheet.paper import POINTS_PER_MM
from designer.sheet.tagging import artifact

_SIDE = 3.4 * POINTS_PER_MM
_INDENT = 6.0 * POINTS_PER_MM
_BELOW = 2.6


class TickBox(Flowable):  # type: ignore[misc]  # reportlab has no types
    """An empty square alone, for the cell of a table."""

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        return _SIDE, _SIDE

    def draw(self) -> None:
        """Draw the square."""
        _square(self.canv, 0.3, 0.0)


class Tick(Flowable):  # type: ignore[misc]  # reportlab has no types
    """An empty square, drawn and not a letter, and the words to its right."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.words = paragraph(words)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        _, tall = self.words.wrap(available_width - _INDENT, available_height)
        self.tall = max(tall, _SIDE) + _BELOW
        return available_width, self.tall

    def draw(self) -> None:
        """The square stands level with the first line."""
        middle = self.tall - BODY.leading / 2 - 0.4
        _square(self.canv, 0.3, middle - _SIDE / 2)
        self.words.drawOn(self.canv, _INDENT, _BELOW)


def _square(canvas: Canvas, left: float, bottom: float) -> None:
    with artifact(canvas):
        canvas.setStrokeGray(0)
        canvas.setLineWidth(0.35 * POINTS_PER_MM)
        canvas.rect(left, bottom, _SIDE, _SIDE, stroke=1, fill=0)

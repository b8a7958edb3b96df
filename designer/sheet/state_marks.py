"""The shapes that stand for the states of the checks: they read without colour."""

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from designer.checks.finding import State
from designer.drawing.styles import PRINT, Role
from designer.sheet.paper import BOLD
from designer.sheet.tagging import artifact

_ROLES: dict[State, Role] = {"must_fix": "must", "look_again": "look", "good": "good"}


def draw_state_mark(canvas: Canvas, state: State, x: float, y: float, size: float) -> None:
    """Draw a state's shape with its lower left corner at (x, y); all in points.

    As on the drawings: Must fix is a diamond with "!", Look again a disc with "?"; Good is a ring
    with a tick.
    """
    half = size / 2
    canvas.saveState()
    colour = HexColor(PRINT[_ROLES[state]])
    canvas.setFillColor(colour)
    canvas.setStrokeColor(colour)
    path = canvas.beginPath()
    if state == "good":
        canvas.setLineWidth(0.12 * size)
        canvas.circle(x + half, y + half, 0.43 * size)
        path.moveTo(x + 0.28 * size, y + 0.5 * size)
        path.lineTo(x + 0.45 * size, y + 0.32 * size)
        path.lineTo(x + 0.72 * size, y + 0.68 * size)
        canvas.drawPath(path)
    else:
        if state == "must_fix":
            path.moveTo(x, y + half)
            path.lineTo(x + half, y + size)
            path.lineTo(x + size, y + half)
            path.lineTo(x + half, y)
            path.close()
            canvas.drawPath(path, stroke=0, fill=1)
        else:
            canvas.circle(x + half, y + half, 0.46 * size, stroke=0, fill=1)
        canvas.setFillGray(1)
        canvas.setFont(BOLD, 0.66 * size)
        canvas.drawCentredString(x + half, y + 0.265 * size, "!" if state == "must_fix" else "?")
    canvas.restoreState()


class StateLine(Flowable):  # type: ignore[misc]
    """A state's shape and word, then the title of a finding, on as many lines as it takes."""

    def __init__(self, state: State, title: Flowable, size: float = 11.0) -> None:
        super().__init__()
        self.state = state
        self.title = title
        self.size = size

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        indent = self._indent
        _, height = self.title.wrap(available_width - indent, available_height)
        self.height = max(height, self.size + 2)
        return available_width, self.height

    @property
    def _indent(self) -> float:
        return self.size + 5

    def draw(self) -> None:
        """Draw the shape and the words beside it."""
        with artifact(self.canv):
            draw_state_mark(self.canv, self.state, 0, self.height - self.size - 1.5, self.size)
        self.title.drawOn(self.canv, self._indent, 0)

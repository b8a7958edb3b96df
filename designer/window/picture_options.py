"""Which picture to make: view, run, kind and size; and pictures on the clipboard."""

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QByteArray, QMimeData, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QVBoxLayout, QWidget

from designer.analysis import Analysis
from designer.canvas.document import Document
from designer.canvas.raster import PAPER_WIDTH, WIDEST, picture_image
from designer.drawing.picture import View, picture_svg
from designer.drawing.styles import DARK, LIGHT
from designer.units import MM_PER_INCH
from designer.window.bounds import Bounds
from designer.window.choice_fields import ChoiceField
from designer.window.dialogs import all_allowed
from designer.window.export_job import Export
from designer.window.fields import Field, LengthField, NumberField

PRINT_DOTS = 300
"""Dots to the inch of a PNG that is sized on paper; common practice for prints held in the hand."""
USUAL_PIXELS = 2400
ENDINGS: dict[View, str] = {
    "both": "drawing", "plan": "plan", "elevation": "elevation", "section": "section",
}  # fmt: skip
_PAPER_BOUNDS = Bounds(at_least=50.0, at_most=WIDEST / PRINT_DOTS * MM_PER_INCH)


@dataclass(frozen=True, slots=True)
class CopiedPicture:
    """A picture for the clipboard."""

    view: View = "both"
    run_id: str | None = None
    width: int = USUAL_PIXELS
    paper_width: float | None = None
    dark: bool = False


class PictureOptions(QWidget):
    """The fields. `suffix` is the ending that goes with the kind of picture chosen."""

    named = Signal()
    """What is chosen asks for another file name."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        units = document.design.units
        self.view = ChoiceField("What to show", "")
        self.view.set_choices(
            [
                ("both", "Plan and elevation", ""),
                ("plan", "Plan, from above", ""),
                ("elevation", "Elevation, from the side", ""),
                ("section", "Cross-section, through a bucket", ""),
            ]
        )
        self.view.show_value("both")
        self.run = ChoiceField("Which run", "It lies level in the plan and is the one in elevation")
        runs = [layout.run for layout in document.analysis.runs]
        self.run.set_choices([(run.id, run.name, "") for run in runs])
        self.run.show_value(document.active_run)
        self.kind = ChoiceField("Kind of picture", "")
        self.kind.set_choices(
            [
                (".png", "PNG", "Opens everywhere"),
                (".svg", "SVG, sharp at any size", "For drawing programs and web pages"),
            ]
        )
        self.kind.show_value(".png")
        self.sized = ChoiceField("Size", "")
        self.sized.set_choices(
            [("pixels", "In pixels, for a screen", ""), ("paper", "In mm or inches, for paper", "")]
        )
        self.sized.show_value("pixels")
        whole = Bounds(at_least=100, at_most=WIDEST)
        self.pixels = NumberField("Width", "The height follows", whole, "pixels", whole=True)
        self.pixels.show_value(USUAL_PIXELS)
        self.paper = LengthField("Width", "The height follows", _PAPER_BOUNDS, units)
        self.paper.show_value(160.0 if units == "metric" else 6 * MM_PER_INCH)
        self.look = ChoiceField("Colours", "")
        self.look.set_choices([("light", "On white", ""), ("dark", "On black", "")])
        self.look.show_value("light")
        for field in self._fields():
            column.addWidget(field)
        for choice in (self.view, self.kind, self.sized):
            choice.entered.connect(lambda _: self._choose())
        self._show()

    @property
    def suffix(self) -> str:
        """The file name's ending, ".png" or ".svg"."""
        return self.kind.value

    @property
    def ending(self) -> str:
        """What a proposed file name says of the picture."""
        return ENDINGS[self.view.value]

    def allowed(self) -> bool:
        """Whether every field holds what can be; the first that does not has the focus."""
        return all_allowed([field for field in self._fields() if not field.isHidden()])

    def picture(self) -> CopiedPicture:
        """The picture that is chosen."""
        on_paper = self.sized.value == "paper"
        width = (
            round(self.paper.value / MM_PER_INCH * PRINT_DOTS) if on_paper else self.pixels.value
        )
        return CopiedPicture(
            self.view.value,
            self.run.value,
            int(width),
            self.paper.value if on_paper else None,
            self.look.value == "dark",
        )

    def export(self, path: Path) -> Export:
        """The same as a file."""
        one = self.picture()
        # An SVG is sized as a browser counts: 96 pixels to the inch (CSS, absolute lengths).
        wide = one.paper_width
        if wide is None and self.suffix == ".svg":
            wide = one.width * MM_PER_INCH / 96
        return Export(
            "picture",
            path.with_suffix(self.suffix),
            view=one.view,
            run_id=one.run_id,
            width=one.width,
            paper_width=wide,
            dark=one.dark,
        )

    def _fields(self) -> tuple[Field, ...]:
        return (
            self.view, self.run, self.kind, self.sized, self.pixels, self.paper, self.look,
        )  # fmt: skip

    def _choose(self) -> None:
        self._show()
        self.named.emit()

    def _show(self) -> None:
        self.run.setVisible(self.run.combo.count() > 1)
        on_paper = self.sized.value == "paper"
        self.pixels.setVisible(not on_paper)
        self.paper.setVisible(on_paper)


def copy_picture(analysis: Analysis, picture: CopiedPicture) -> None:
    """Put a picture on the clipboard, as pixels and as SVG. PictureError where it is too large."""
    colours = DARK if picture.dark else LIGHT
    run, paper = picture.run_id, picture.paper_width
    data = QMimeData()
    data.setImageData(picture_image(analysis, picture.view, picture.width, colours, run, paper))
    wide = paper or PAPER_WIDTH
    svg = picture_svg(analysis, picture.view, colours, run, wide)
    data.setData("image/svg+xml", QByteArray(svg.encode("utf-8")))
    QGuiApplication.clipboard().setMimeData(data)

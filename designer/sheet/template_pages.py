"""Templates as pages of a file."""

from collections.abc import Iterable, Sequence
from functools import partial

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.pages import Room, SheetPage
from designer.sheet.paper import POINTS_PER_MM, register_fonts
from designer.sheet.pen import Pen
from designer.sheet.tagging import figure
from designer.sheet.template import Numbering, Printing, Template, TemplatePage

SECTION = "Drill templates"


def template_pages(templates: Iterable[Template], printing: Printing) -> list[SheetPage]:
    """The pages of templates in a file of their own."""
    return numbered_pages(laid_out(templates, printing))


def laid_out(templates: Iterable[Template], printing: Printing) -> list[tuple[str, TemplatePage]]:
    """Each page of the templates, with its template's title."""
    register_fonts()
    return [(template.title, page) for template in templates for page in template.pages(printing)]


def numbered_pages(made: Sequence[tuple[str, TemplatePage]], before: int = 0) -> list[SheetPage]:
    """Laid out pages as those of a file that has `before` other sheets ahead of them."""
    return [
        SheetPage(
            SECTION,
            partial(_draw, title, page, Numbering(number, len(made), before)),
            page.sheet.paper,
            entry=title,
            title_block=False,
        )
        for number, (title, page) in enumerate(made, 1)
    ]


def _draw(title: str, page: TemplatePage, numbering: Numbering, canvas: Canvas, room: Room) -> None:
    said = f"{title}, at full size with measuring bars: {numbering.words}"
    paper = (0.0, 0.0, room.width * POINTS_PER_MM, room.height * POINTS_PER_MM)
    with figure(canvas, said, paper):
        canvas.saveState()
        page.sheet.scale(canvas)
        page.draw(Pen(canvas), numbering)
        canvas.restoreState()

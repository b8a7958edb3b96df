"""The page that says how the drill templates are printed, joined and fixed."""

from collections.abc import Iterable, Mapping, Sequence

from reportlab.platypus import Flowable

from designer.sheet.pages import SMALL, SUBHEAD, SheetPage, flow_pages, gap, paragraph, table
from designer.sheet.paper import POINTS_PER_MM, Paper
from designer.sheet.pen import DASHED, Pen
from designer.sheet.steps.tick import Tick
from designer.sheet.tagging import figure
from designer.sheet.template import KIND_WORDS, Template, TemplateKind
from designer.sheet.template_page import BARS, draw_bar

SECTION = "How to print the templates"

_FOR: Mapping[TemplateKind, str] = {
    "outlet": "Taped to the bucket's wall, its foot at the base: marks the outlet hole's centre.",
    "collar": "Wrapped round the whole bucket: marks the outlet, a level line and the quarters.",
    "lid": "Laid on the lid: marks the holes for the plants and the feed tube.",
    "drain": "Taped along the drain's crown from the capped end: marks every hole by letter.",
    "drain_collar": "Wrapped round the drain: finds the crown and squares the hole to the pipe.",
    "manifold": "Laid along the manifold from its plugged end: marks every barb.",
    "jig": "Steps off the same pitch again and again.",
    "saddle": "Wrapped round a tail: the line to cut where it meets the drain.",
    "supports": "Laid along the string: marks the middle of every support.",
}


def printing_pages(templates: Iterable[Template], paper: Paper) -> list[SheetPage]:
    """One page about the templates of this file; none where it has no template."""
    made = list(templates)
    if not made:
        return []
    kinds = {template.kind for template in made}
    rows = [(KIND_WORDS[kind], _FOR[kind]) for kind in KIND_WORDS if kind in kinds]
    blocks: list[Sequence[Flowable]] = [
        [
            paragraph("Print at true size", SUBHEAD),
            gap(1),
            Tick("Print the sheets that follow at 100 %, or actual size. Never choose “fit”."),
            Tick(
                "Use plain paper of the size in the foot of each page, one side only. Print each "
                "page once; templates that are alike are in the file once."
            ),
            Tick(
                "Measure the bars on each page with a steel rule, from tick to tick, across and "
                "along: within 0.5 mm or 1/64 in. This sheet carries two, to try your printer:"
            ),
            _Bars(),
            Tick(
                "A bar is off, though you printed at 100 %? Print the calibration page from the "
                "program, type what you measured, and print the templates again."
            ),
            gap(3),
        ],
        [
            paragraph("Join the pieces", SUBHEAD),
            gap(1),
            Tick("Lay out the pieces in the order of their numbers before you cut."),
            _Joint(),
            Tick(
                "Cut the later piece along its dashed joint line. Lay it on the earlier one, line "
                "on line and cross on cross, and tape it."
            ),
            Tick("Check a long strip with the tape measure; where they differ, trust the tape. *"),
            gap(3),
        ],
        [
            paragraph("Fix and mark", SUBHEAD),
            gap(1),
            Tick("Wipe the part dry. Tape the paper flat at both ends and in the middle. *"),
            Tick("Punch each cross through the paper, take the paper off, then drill. *"),
            paragraph("* common practice, no source.", SMALL),
            gap(3),
        ],
        [
            paragraph("What each template is for", SUBHEAD),
            gap(1.5),
            table(("Template", "What it does"), rows, (56, 124)),
        ],
    ]
    return flow_pages(SECTION, blocks, paper)


class _Bars(Flowable):  # type: ignore[misc]  # reportlab has no types
    """The two bars of every template page, at true size."""

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        return available_width, 20.0 * POINTS_PER_MM

    def draw(self) -> None:
        """Draw the bars, one above the other."""
        words = " and ".join(label for _, label in BARS)
        with figure(self.canv, f"Bars to measure: {words}", (0, 0, 130 * POINTS_PER_MM, 57)):
            self.canv.setFillGray(0)
            for number, (length, label) in enumerate(BARS):
                draw_bar(Pen(self.canv), 6.0, 13.0 - 9.0 * number, length, label, along=False)


class _Joint(Flowable):  # type: ignore[misc]  # reportlab has no types
    """Two pieces of a strip and where they are joined; a sketch, not to scale."""

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        return available_width, 25.0 * POINTS_PER_MM

    def draw(self) -> None:
        """The earlier piece lies below the later one."""
        pen = Pen(self.canv)
        alt = "Sketch: piece 2 lies over the end of piece 1, joint line on joint line"
        with figure(self.canv, alt, (0, 0, 150 * POINTS_PER_MM, 70)):
            self.canv.setFillGray(0)
            _piece(pen, 6.0, 7.0, 66.0, 22.0)
            _piece(pen, 84.0, 7.0, 144.0, 22.0)
            for x in (56.0, 94.0):
                pen.line(x, 7.0, x, 22.0, dash=DASHED)
                pen.cross(x, 9.6, 1.6)
                pen.cross(x, 19.4, 1.6)
            pen.text(31.0, 13.4, "piece 1", 8.0, align="centre")
            pen.text(119.0, 13.4, "piece 2", 8.0, align="centre")
            pen.text(75.0, 13.4, "onto", 8.0, align="centre")
            pen.text(56.0, 2.6, "joint line", 7.5, align="centre")
            pen.text(94.0, 2.6, "cut here", 7.5, align="centre")


def _piece(pen: Pen, left: float, low: float, right: float, high: float) -> None:
    pen.chain([(left, low), (right, low), (right, high), (left, high)], close=True)

"""The cover: what the bed is, a small drawing, the key numbers and the state of the checks."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.checks.finding import STATE_WORDS, STATES
from designer.layout.run import RunLayout
from designer.sheet.drawings import picture
from designer.sheet.links import sheet_name
from designer.sheet.pages import (
    SMALL,
    Room,
    SheetPage,
    flow_pages,
    gap,
    labelled,
    linked,
    page_room,
    paragraph,
    table,
)
from designer.sheet.paper import BOLD, POINTS_PER_MM, Paper
from designer.sheet.pen import NARROW
from designer.sheet.picture_words import cover_picture_in_words
from designer.sheet.state_marks import draw_state_mark
from designer.sheet.tagging import artifact, figure, marked
from designer.sheet.views import draw_views
from designer.sheet.words import count_of, length, saw_size
from designer.takeoff.pieces import drain_line
from designer.takeoff.quantities import medium_litres
from designer.units import format_slope, format_volume

TITLE = ParagraphStyle("title", fontName=BOLD, fontSize=20, leading=25)
SECTION = "Build sheet"
MANY_SHEETS = 60
"""A file with more sheets than this says so on its cover."""
_PICTURE = 45.0
_STATES = 13.0
_COLUMNS = 3
"""Columns of the contents."""


@dataclass(frozen=True)
class Contents:
    """What the file holds: names with their first sheets, all sheets, templates among them."""

    entries: Sequence[tuple[str, int]]
    sheets: int
    templates: int

    @property
    def note(self) -> str:
        """How to print it."""
        if not self.templates:
            return f"{count_of(self.sheets, 'sheet')}."
        first = self.sheets - self.templates + 1
        which = (
            f"Sheets {first} to {self.sheets} are" if self.templates > 1 else f"Sheet {first} is"
        )
        words = f"{which} {count_of(self.templates, 'drill template page')}: print them at 100 %."
        if self.sheets > MANY_SHEETS:
            words = (
                f"This file has {self.sheets} sheets. {words} Print each template once: runs that "
                "are alike share one."
            )
        return words


def cover_pages(analysis: Analysis, paper: Paper, contents: Contents) -> list[SheetPage]:
    """The cover, and more pages where many runs or long notes need them."""
    width = page_room(paper).width
    blocks: list[Sequence[Flowable]] = [
        [paragraph(analysis.design.title or "Bucket bed", TITLE), gap(2)],
        [_Picture(analysis), gap(2)],
        [_States(analysis), gap(3)],
        _contents(contents, width),
        [table(("What", "How much"), key_numbers(analysis), (56, width - 56)), gap(2)],
    ]
    if analysis.design.notes.strip():
        first, *more = analysis.design.notes.strip().splitlines()
        blocks += [[labelled("Notes:", first)], *([paragraph(line)] for line in more)]
    return flow_pages(SECTION, blocks, paper)


def _contents(contents: Contents, width: float) -> list[Flowable]:
    """In columns, each read down and then on at the top of the next."""
    deep = -(-len(contents.entries) // _COLUMNS)
    cells: list[tuple[str | Flowable, str]] = [
        (linked(name, sheet_name(sheet), f"Sheet {sheet}, {name}"), str(sheet))
        for name, sheet in contents.entries
    ]
    cells += [("", "")] * (_COLUMNS * deep - len(cells))
    rows = [[one for cell in cells[i::deep] for one in cell] for i in range(deep)]
    heads = ("In this file", "Sheet", *("", "Sheet") * (_COLUMNS - 1))
    widths = (width / _COLUMNS - 12, 12) * _COLUMNS
    return [
        table(heads, rows, widths, right=range(1, 2 * _COLUMNS, 2)),
        paragraph(contents.note, SMALL),
        gap(2.5),
    ]


class _Picture(Flowable):  # type: ignore[misc]
    """A small plan and elevation of the first run."""

    def __init__(self, analysis: Analysis) -> None:
        super().__init__()
        self.analysis = analysis
        self.width = 0.0

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        self.width = available_width / POINTS_PER_MM
        self.fitted = picture(self.analysis, self.width, _PICTURE)
        return available_width, _PICTURE * POINTS_PER_MM if self.fitted else 0.0

    def draw(self) -> None:
        """Draw the views."""
        if self.fitted:
            size = self.width * POINTS_PER_MM, _PICTURE * POINTS_PER_MM
            with figure(self.canv, cover_picture_in_words(self.analysis), (0.0, 0.0, *size)):
                draw_views(self.canv, self.fitted, Room(0.0, 0.0, self.width, _PICTURE))


class _States(Flowable):  # type: ignore[misc]
    """How many checks are in each state, with their shapes."""

    def __init__(self, analysis: Analysis) -> None:
        super().__init__()
        self.analysis = analysis

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        self.width = available_width
        return available_width, _STATES * POINTS_PER_MM

    def draw(self) -> None:
        """Draw one cell for each state."""
        canvas, cell = self.canv, self.width / len(STATES)
        height = _STATES * POINTS_PER_MM
        accepted = sum(finding.accepted is not None for finding in self.analysis.findings)
        for i, state in enumerate(STATES):
            with artifact(canvas):
                canvas.setLineWidth(NARROW * POINTS_PER_MM)
                canvas.rect(i * cell, 0, cell, height)
                draw_state_mark(canvas, state, i * cell + 8, height / 2 - 9, 18)
            canvas.setFillGray(0)
            canvas.setFont(BOLD, 11)
            words = f"{self.analysis.counts[state]} {STATE_WORDS[state]}"
            if state == "look_again" and accepted:
                words += f", {accepted} accepted"
            with marked(canvas, "P"):
                canvas.drawString(i * cell + 33, height / 2 - 4, words)


def key_numbers(analysis: Analysis) -> list[tuple[str, str]]:
    """Name and value of the numbers that people ask for first."""
    units, runs = analysis.design.units, analysis.runs
    rows: list[tuple[str, str]] = []
    if len(runs) > 1:
        total = sum(len(layout.places) for layout in runs)
        rows.append(("Buckets in all", f"{total} on {count_of(len(runs), 'run')}"))
    for same in zip(*(_run_numbers(layout) for layout in runs), strict=True):
        what = same[0][0]
        if len(runs) == 1:
            rows.append(same[0])
        elif len({value for _, value in same}) == 1:
            rows.append((f"{what}, each run", same[0][1]))
        else:
            rows += [
                (f"{what}, {layout.run.name}", value)
                for layout, (_, value) in zip(runs, same, strict=True)
            ]
    drains: defaultdict[str, float] = defaultdict(float)
    media: defaultdict[str, float] = defaultdict(float)
    for layout in runs:
        drains[layout.parts.drain.name] += drain_line(layout).length
        media[layout.parts.medium.name] += medium_litres([layout])
    rows += [("Drain in all", f"{length(mm, units)} of {name}") for name, mm in drains.items()]
    rows += [
        ("Medium", f"{name}, {format_volume(settled, units)} settled in the buckets")
        for name, settled in media.items()
    ]
    if analysis.reservoir is not None:
        tank = analysis.reservoir
        full = format_volume(tank.litres_full, units)
        sunk = length(tank.reservoir.sunk, units)
        rows.append(("Reservoir", f"{tank.part.name}, {full} when full, sunk {sunk}"))
        rows.append(("Pump", tank.pump.name))
    return rows


def _run_numbers(layout: RunLayout) -> list[tuple[str, str]]:
    """The same names for every run, in the same order."""
    units, run, parts = layout.units, layout.run, layout.parts
    slope = format_slope(layout.levels.slope, units)
    height = length(run.outlet.height, units)
    stand = length(run.stand.height, units)
    kinds = Counter(place.part.name for place in layout.places)
    crops = dict.fromkeys(place.crop.name for place in layout.from_cap)
    return [
        ("Buckets", ", ".join(f"{n} × {name}" for name, n in kinds.items()) or "none"),
        ("Crop", ", ".join(crops) or "none"),
        ("Length of the run", length(run.length, units)),
        ("Fall of the drain", f"{length(run.drain.fall, units)}, {slope}"),
        ("Height of the stand", f"{stand} to the top of the rails at the outlet end"),
        ("Outlet hole", f"{height} above the base, hole saw {saw_size(parts.outlet_saw, units)}"),
        ("Holes in the drain", f"hole saw {saw_size(parts.drain_saw, units)}"),
        ("Tails", _tails(layout)),
    ]


def _tails(layout: RunLayout) -> str:
    if not layout.places:
        return "none"
    lengths = [layout.tail_length(place) for place in layout.places]
    low, high = length(min(lengths), layout.units), length(max(lengths), layout.units)
    if low == high:
        return f"{low} each"
    return f"{low} to {high}, cut by the table of the buckets"

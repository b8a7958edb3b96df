"""The strip of a pipe or a line, cut into pieces that fit on paper.

A strip is laid along the pipe, its centre line on the pipe's crown. It is printed in rows, several
to a page held upright or sideways. Neighbouring pieces share ``OVERLAP`` mm of the strip; the joint
line stands in the middle of it, with a registration cross at both sides, on both pieces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from designer.sheet.template import Printing, TemplateSheet
from designer.sheet.template_grid import pieces_along
from designer.sheet.template_marks import MarkStrip
from designer.sheet.template_page import CAUTION, Area, Heading, cut_from_roll, drawing_area
from designer.units import UnitSystem, format_length, style_for

OVERLAP = 20.0
BAND = 5.5
"""Clear edge of the strip beside its widest hole, mm, for crosses and joint words."""
CAPTION = 4.5
"""Room for the words above each row, mm."""

PUNCH_CAUTION = "Eye protection on, fingers beside the tube, not under it. (common practice)"

_LEAST_WIDTH = 24.0
_END_CLEARANCE = 5.0
_LEAST_PIECE = 70.0
_BESIDE_JOINT = 1.0
"""From a hole to the overlap of two pieces, where it can be kept off it, mm."""


@dataclass(frozen=True)
class StripHole:
    """A hole in the pipe: ``station`` in mm from the capped end, and the letter it goes by."""

    station: float
    letter: str


@dataclass(frozen=True)
class HoleStrip:
    """The holes along one pipe or tube.

    ``pipe_diameter`` (outside), ``hole_diameter`` and ``length`` (from the capped end to the last
    mark needed) are mm; ``hole_saw`` is ready text such as "32 mm (1 1/4 in)". Raises ValueError
    when there is no hole, or a hole has no size or lies beyond the capped end.
    """

    title: str
    pipe_diameter: float
    hole_diameter: float
    hole_saw: str
    length: float
    holes: tuple[StripHole, ...]
    kind: Literal["drain", "manifold"] = "drain"
    note: str = ""

    def __post_init__(self) -> None:
        if not self.holes:
            raise ValueError(f"{self.title}: there is no hole to mark.")
        if not self.hole_diameter > 0:
            raise ValueError(f"{self.title}: the hole needs a diameter.")
        if not self.hole_diameter < self.pipe_diameter:
            raise ValueError(f"{self.title}: the hole is as wide as the pipe.")
        for hole in self.holes:
            if not hole.station >= 0:
                raise ValueError(
                    f"{self.title}: hole {hole.letter} lies beyond the {self.first_end}."
                )

    @property
    def width(self) -> float:
        """Width of the paper strip, mm."""
        return max(self.hole_diameter + 2 * BAND, _LEAST_WIDTH)

    @property
    def first_end(self) -> str:
        """What the end is called from which distances are measured."""
        return "capped end" if self.kind == "drain" else "plugged end"

    @property
    def first_edge(self) -> str:
        """What is done with the strip's first edge."""
        return "this edge at the end"

    @property
    def end(self) -> float:
        """Station where the paper strip ends, mm; past the last hole's edge in any case."""
        last = max(hole.station for hole in self.holes)
        return max(self.length, last + self.hole_diameter / 2 + _END_CLEARANCE)


Strip = HoleStrip | MarkStrip


@dataclass(frozen=True)
class Tile:
    """One piece of a strip and its place on paper.

    Pieces are numbered from 1 at the capped end; it shows stations ``start`` to ``end`` (mm).
    ``page`` and ``row`` count from 0, rows from the top. ``left`` is where ``start`` lies on the
    page and ``centre`` the height of the centre line, mm from the lower left corner of the paper.
    """

    piece: int
    start: float
    end: float
    page: int
    row: int
    left: float
    centre: float

    def x_at(self, station: float) -> float:
        """Place across the page of a station, mm."""
        return self.left + station - self.start


def strip_heading(strip: Strip, units: UnitSystem) -> Heading:
    """The words at the head of the strip's pages."""
    if isinstance(strip, MarkStrip):
        return strip.heading
    across = format_length(strip.pipe_diameter, style_for(units), places=1)
    cut = "Cut out the pieces. Trim the later one at each joint, lay line on line and tape."
    check = "Check each distance with a tape; if it differs, trust the tape. (common practice)"
    if strip.kind == "drain":
        pipe, tool, caution = "Pipe", "Hole saw", CAUTION
        steps: tuple[str, ...] = (
            cut,
            "Tape the strip along a line drawn on the crown, first edge at the capped end.",
            check,
            "Punch every cross through the paper, drill a pilot hole, then the hole saw. Deburr.",
        )
    else:
        pipe, tool, caution = "Tube", "Punch or drill", PUNCH_CAUTION
        steps = (
            f"{cut} First edge at the plugged end.",
            check,
            "Lay the strip along the tube, punch through each cross, pull the paper off.",
        )
    return Heading(
        strip.title,
        f"Drill template, full size. {pipe} {across} outside. {tool}: {strip.hole_saw}. "
        f"Distances are from the {strip.first_end}.",
        steps,
        strip.note,
        caution,
    )


@dataclass(frozen=True)
class StripLayout:
    """A strip's pieces in order from the first end, and the sheet they are printed on."""

    sheet: TemplateSheet
    tiles: tuple[Tile, ...]

    @property
    def cost(self) -> tuple[int, int, float]:
        """Pages, pieces, and paper in mm2; on a roll pieces come first, as it has one page."""
        pages, paper = self.tiles[-1].page + 1, self.sheet.paper
        return pages, len(self.tiles), pages * paper.width * paper.height


def strip_layout(strip: Strip, printing: Printing) -> StripLayout:
    """The strip on paper held upright or sideways, whichever takes fewer pages, then fewer pieces.

    Any station shown by two pieces lies at the same distance from both joint lines, so a feature on
    the overlap coincides when the offsets ``left - start`` are undone.
    """
    sheet, units = printing.sheet, printing.units
    ways = [_laid_out(strip, way, units) for way in (sheet.turned, sheet)]
    return min(ways, key=lambda layout: layout.cost)


def _laid_out(strip: Strip, sheet: TemplateSheet, units: UnitSystem) -> StripLayout:
    area = drawing_area(sheet, strip_heading(strip, units))
    rows = max(1, int(area.height // (strip.width + CAPTION)))
    tiles = [
        Tile(i + 1, start, end, *divmod(i, rows), area.left, 0.0)
        for i, (start, end) in enumerate(_pieces(strip, area.width, rows))
    ]
    cut = _cut(sheet, area, strip, tiles)
    top = area.top - (sheet.height - cut.height)
    pitch = (strip.width + CAPTION) if sheet.paper.roll else area.height / rows
    return StripLayout(
        cut,
        tuple(
            replace(tile, centre=top - (tile.row + 1) * pitch + strip.width / 2) for tile in tiles
        ),
    )


def _pieces(strip: Strip, room: float, rows: int) -> list[tuple[float, float]]:
    """Where the pieces start and end, at most ``room`` mm long.

    A piece ends early where that keeps a hole off its joint and takes no further page.
    """
    most = -(-pieces_along(strip.end, room, OVERLAP) // rows) * rows
    pieces: list[tuple[float, float]] = []
    start = 0.0
    while not pieces or pieces[-1][1] < strip.end:
        # A last piece shorter than its own words is made longer; the paper beyond is blank.
        end = min(start + room, max(strip.end, start + _LEAST_PIECE))
        if end < strip.end:
            early = _clear_of_holes(strip, end)
            rest = pieces_along(strip.end - (early - OVERLAP), room, OVERLAP)
            if early >= start + _LEAST_PIECE and len(pieces) + 1 + rest <= most:
                end = early
        pieces.append((start, end))
        start = end - OVERLAP
    return pieces


def _clear_of_holes(strip: Strip, end: float) -> float:
    """The last end of a piece, at most ``end``, with no hole on the overlap before it."""
    if isinstance(strip, MarkStrip):
        return end
    reach = strip.hole_diameter / 2 + _BESIDE_JOINT
    for station in sorted((hole.station for hole in strip.holes), reverse=True):
        if station - reach < end and station + reach > end - OVERLAP:
            end = station - reach
    return end


def _cut(sheet: TemplateSheet, area: Area, strip: Strip, tiles: Sequence[Tile]) -> TemplateSheet:
    """A page of a roll, no longer than the pieces need."""
    rows = 1 + max(tile.row for tile in tiles)
    longest = max(tile.end - tile.start for tile in tiles)
    spare = area.width - longest if sheet.sideways else area.height - rows * (strip.width + CAPTION)
    return cut_from_roll(sheet, spare)

"""The steps as pages: what is needed, what can hurt, and each action with a box to tick."""

from collections.abc import Iterator, Sequence

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.cautions import caution
from designer.sheet.pages import (
    BODY,
    SMALL,
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    labelled,
    paragraph,
    table,
)
from designer.sheet.paper import Paper
from designer.sheet.steps.build import build_steps
from designer.sheet.steps.pictures import StepPicture
from designer.sheet.steps.step import PRACTICE, Part, Step, StepTable
from designer.sheet.steps.tick import Tick

_CAUTION = ParagraphStyle(
    "caution",
    BODY,
    borderWidth=1.2,
    borderColor=HexColor("#14181c"),
    borderPadding=(3, 5, 4, 5),
    leftIndent=6,
    rightIndent=6,
    spaceBefore=4,
)
_STAR = " *"


def step_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """Each step on pages of its own, numbered in the order of the building."""
    pages: list[SheetPage] = []
    for number, step in enumerate(build_steps(analysis), 1):
        pages += flow_pages(f"Step {number}: {step.title}", _blocks(analysis, step), paper)
    return pages


def _blocks(analysis: Analysis, step: Step) -> list[Sequence[Flowable]]:
    needed: list[Flowable] = [paragraph(step.lead), gap(1.5)]
    if step.tools:
        needed.append(labelled("Tools:", f"{', '.join(step.tools)}."))
    if step.takes:
        taken = "; ".join(f"{name}: {amount}" for name, amount in step.takes)
        needed.append(labelled("Parts:", f"{taken}."))
    ticks = "Tick each box when it is done."
    if any(action.practice for action in step.actions):
        ticks += f" * {PRACTICE}."
    needed += [paragraph(ticks, SMALL), gap(0.6)]
    for one in map(caution, step.cautions):
        needed += [gap(1.6), labelled(f"{one.title}:", one.brief, _CAUTION), gap(2.6)]
    blocks: list[Sequence[Flowable]] = [needed]
    for part in step.parts:
        blocks += _part(analysis, part)
    return blocks


def _part(analysis: Analysis, part: Part) -> Iterator[list[Flowable]]:
    """The heading stays with its pictures and actions, a table with its title."""
    head: list[Flowable] = [gap(2.5), paragraph(part.title, SUBHEAD), gap(1)]
    for picture in part.pictures:
        head += [StepPicture(analysis, picture), gap(1.5)]
    yield head + [Tick(action.text + _STAR * action.practice) for action in part.actions]
    for one in part.tables:
        yield [gap(1.5), *_table(one)]


def _table(one: StepTable) -> list[Flowable]:
    made: list[Flowable] = [paragraph(one.title, SUBHEAD)]
    if one.note:
        made.append(paragraph(one.note, SMALL))
    rows = [row.cells for row in one.rows]
    return [*made, gap(1.5), table(one.heads, rows, one.widths, one.right)]

"""Sheets and templates printed for the tests: always on the same day."""

import datetime
from collections.abc import Sequence
from pathlib import Path

from designer.sheet.options import SheetOptions
from designer.sheet.paper import PAPERS, Paper, PaperName
from designer.sheet.pdf_pages import Imprint, pages_pdf
from designer.sheet.template import Printing, Template
from designer.sheet.template_pages import template_pages
from designer.sheet.template_patch import BucketPatch, patch_template
from designer.sheet.template_strip import strip_template
from designer.sheet.template_tiles import HoleStrip
from designer.units import UnitSystem

DAY = datetime.date(2026, 3, 1)


def on(paper: PaperName = "a4") -> SheetOptions:
    """A whole build sheet on a paper."""
    return SheetOptions(PAPERS[paper], date=DAY)


def print_templates(path: Path, templates: Sequence[Template], printing: Printing) -> None:
    """Templates alone, in a file."""
    imprint = Imprint("Drill templates", "drill templates", DAY.isoformat(), "mm")
    path.write_bytes(pages_pdf(template_pages(templates, printing), imprint))


def write_templates(
    path: Path,
    patches: Sequence[BucketPatch],
    strips: Sequence[HoleStrip],
    paper: Paper,
    units: UnitSystem,
) -> None:
    """Patches and strips in a file."""
    templates = [*map(patch_template, patches), *map(strip_template, strips)]
    print_templates(path, templates, Printing(paper, units))

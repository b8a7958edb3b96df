"""Sheets and templates printed for the tests: always on the same day."""

import datetime
from collections.abc import Sequence
from pathlib import Path

from pdfplumber.page import Page

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


def assert_clean(found: list[Page]) -> None:
    """No words under 7 pt, beyond the margins, or over one another."""
    assert found
    for page in found:
        words = page.extract_words(extra_attrs=["size"], x_tolerance=1.5)
        assert min(word["size"] for word in words) >= 7 - 1e-6
        assert min(word["x0"] for word in words) >= 10 * 72 / 25.4
        assert max(word["x1"] for word in words) <= page.width - 10 * 72 / 25.4 + 0.5
        clear = [(w["x0"], w["top"] + 2.5, w["x1"], w["bottom"] - 2.5, w["text"]) for w in words]
        for k, a in enumerate(clear):
            for b in clear[k + 1 :]:
                over = min(a[2], b[2]) - max(a[0], b[0]) > 0.5
                assert not (over and min(a[3], b[3]) > max(a[1], b[1])), (a[4], b[4])

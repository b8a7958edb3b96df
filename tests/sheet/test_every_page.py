"""Every page of every sample, and of designs that strain it, as somebody who has to sign it would
look at it: nothing cut off, nothing on top of each other, no line through words, all numbers true.
"""

from pathlib import Path
from typing import get_args

import pytest

from designer.analysis import analyse_fully
from designer.model.design import Design
from designer.model.file import read_design
from designer.resources import sample_paths
from designer.sheet.build_sheet import build_sheet_bytes
from designer.sheet.options import SheetOptions
from designer.sheet.paper import PaperName, paper_named
from designer.sheet.template import TemplateKind
from tests.sheet.odd_beds import BEDS, plain
from tests.sheet.page_audit import layout_faults
from tests.sheet.page_marks import FileMarks, read_marks
from tests.sheet.page_numbers import file_faults, letters_drawn, letters_listed
from tests.sheet.printed import on

SHEETS: tuple[PaperName, ...] = ("a4", "letter")


ALL_KINDS: frozenset[TemplateKind] = frozenset(get_args(TemplateKind))


def faults_of(file: FileMarks) -> list[str]:
    """Every fault of a file's pages, in words."""
    on_pages = [fault for page in file.pages for fault in layout_faults(page)]
    return [str(fault) for fault in (*on_pages, *file_faults(file))]


def check(design: Design, paper: PaperName) -> None:
    analysis = analyse_fully(design)
    file = read_marks(build_sheet_bytes(analysis, on(paper)))
    found = faults_of(file)
    assert not found, "\n".join(found)
    letters = {analysis.bucket_label(bucket) for bucket in analysis.places}
    assert letters_drawn(file) == letters
    assert sorted(letters_listed(file)) == sorted(letters)


@pytest.mark.parametrize("paper", SHEETS)
@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_every_page_of_a_sample_can_be_signed(path: Path, paper: PaperName) -> None:
    check(read_design(path).design, paper)


@pytest.mark.parametrize(
    ("bed", "paper"), [(bed, SHEETS[i % len(SHEETS)]) for i, bed in enumerate(BEDS)]
)
def test_every_page_of_an_odd_bed_can_be_signed(bed: str, paper: PaperName) -> None:
    check(BEDS[bed](), paper)


@pytest.mark.parametrize("paper", ["a3", "tabloid"])
def test_every_page_on_large_paper_can_be_signed(paper: PaperName) -> None:
    check(plain(12, "metric"), paper)


@pytest.mark.parametrize("paper", ["a4", "letter", "a3", "tabloid", "roll-610"])
@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_every_template_can_be_cut_out_by(path: Path, paper: str) -> None:
    analysis = analyse_fully(read_design(path).design)
    wanted = SheetOptions(
        template_paper=paper_named(paper), only_templates=True, templates=ALL_KINDS
    )
    found = faults_of(read_marks(build_sheet_bytes(analysis, wanted)))
    assert not found, "\n".join(found)


def test_every_page_of_three_hundred_buckets_can_be_signed() -> None:
    check(plain(300, "imperial"), "letter")

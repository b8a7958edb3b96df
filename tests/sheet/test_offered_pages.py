"""Every page of the templates that are offered, on random sizes of buckets, pipes and spacings:
nothing cut off, no words on words or lines, nothing in the margins."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from designer.analysis import analyse
from designer.sheet.paper import A4, LETTER, Paper
from designer.sheet.template import KIND_WORDS, Printing, Template
from designer.sheet.template_collar import BucketCollar, WallHole, collar_template
from designer.sheet.template_jig import jig_strip
from designer.sheet.template_lid import LidSheet, lid_template
from designer.sheet.template_saddle import SaddleSheet, saddle_template
from designer.sheet.template_strip import strip_template
from designer.sheet.template_supports import support_strip
from designer.sheet.template_values import templates_of
from designer.sheet.template_wrap import PipeCollar, wrap_template
from designer.units import UnitSystem
from tests.beds import bed
from tests.sheet.page_audit import layout_faults
from tests.sheet.page_marks import read_marks
from tests.sheet.printed import print_templates

ALL_PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
BOTH_UNITS = pytest.mark.parametrize("units", ["metric", "imperial"])


def faults(path: Path, templates: list[Template], paper: Paper, units: UnitSystem) -> list[str]:
    print_templates(path, templates, Printing(paper, units))
    pages = read_marks(path.read_bytes()).pages
    return [f"{page.words[0].text}: {fault}" for page in pages for fault in layout_faults(page)]


def random_templates(seed: int, units: UnitSystem) -> list[Template]:
    """One of each kind, of sizes as growers have them; what is impossible is left out."""
    dice = np.random.default_rng(seed)
    height, base = float(dice.uniform(180, 450)), float(dice.uniform(180, 350))
    top = base * float(dice.uniform(1.0, 1.2))
    saw = float(dice.uniform(16, 40))
    low = float(dice.uniform(saw / 2 + 2, min(height - saw, 160)))
    holes = [WallHole(0.0, low, saw, "Outlet: 25 mm (1 in)")]
    drain = float(dice.uniform(40, 110))
    plant, plants = float(dice.uniform(30, 80)), int(dice.integers(1, 4))
    used = "buckets 1A to 1F, 2A to 2F, 2K"
    made: list[Template] = [
        collar_template(
            BucketCollar("Collar: pail", base, top, height, tuple(holes), "Measure it.", used),
            units,
        )
    ]
    try:
        sheet = LidSheet("Lid: pail", top + 8, plants, plant, 7.0, "Measure it.", used)
        made.append(lid_template(sheet, units))
    except ValueError:
        pass
    hole = min(saw, drain * 0.8)
    collar = PipeCollar("Collar round the drain", drain, hole, "25 mm", "", used)
    made.append(wrap_template(collar, units))
    tail = float(dice.uniform(0.25, 0.9)) * drain
    made.append(saddle_template(SaddleSheet("Saddle", "63", drain, "20", tail, used), units))
    spacings = tuple(float(s) for s in dice.uniform(60, 700, int(dice.integers(1, 3))))
    made.append(strip_template(jig_strip(spacings, used, "", units)))
    stations = np.cumsum([float(dice.uniform(0, 200)), *dice.uniform(400, 1300, 3)])
    strip = support_strip("Supports", list(map(float, stations)), 190.0, "", units)
    made.append(strip_template(strip))
    return made


@ALL_PAPERS
@BOTH_UNITS
@pytest.mark.parametrize("seed", range(4))
def test_pages_of_random_sizes_can_be_read(
    seed: int, paper: Paper, units: UnitSystem, tmp_path: Path
) -> None:
    found = faults(tmp_path / "x.pdf", random_templates(seed, units), paper, units)
    assert not found, "\n".join(found)


@ALL_PAPERS
@BOTH_UNITS
@pytest.mark.parametrize("crop", ["pepper", "strawberry"])
def test_pages_of_every_kind_of_a_bed_can_be_read(
    crop: str, paper: Paper, units: UnitSystem, tmp_path: Path
) -> None:
    found = templates_of(analyse(bed(7, units, crop=crop)))
    assert {template.kind for template in found.templates} == set(KIND_WORDS)
    wrong = faults(tmp_path / "x.pdf", list(found.templates), paper, units)
    assert not wrong, "\n".join(wrong)

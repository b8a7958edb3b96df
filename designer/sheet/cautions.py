"""The cautions: texts from `resources/cautions.toml`, each with its source."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from reportlab.platypus import Flowable

from designer.resources import resource_path
from designer.sheet.pages import SMALL, SUBHEAD, SheetPage, flow_pages, gap, labelled, paragraph
from designer.sheet.paper import Paper

SECTION = "Cautions"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution and where it comes from."""

    title: str
    text: str
    source: str


@cache
def load_cautions() -> tuple[str, tuple[Caution, ...]]:
    """The opening words, which defer to codes and licensed practice, and the cautions."""
    document = tomllib.loads(resource_path("cautions.toml").read_text("utf-8"))
    return document["lead"], tuple(Caution(**record) for record in document["caution"])


def caution_pages(paper: Paper) -> list[SheetPage]:
    """The cautions, each kept together."""
    lead, cautions = load_cautions()
    blocks: list[Sequence[Flowable]] = [[paragraph(lead), gap(4)]]
    blocks += [
        [
            paragraph(caution.title, SUBHEAD),
            paragraph(caution.text),
            labelled("Source:", caution.source, SMALL),
            gap(3.5),
        ]
        for caution in cautions
    ]
    return flow_pages(SECTION, blocks, paper)

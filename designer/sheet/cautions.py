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
    """One caution and where it comes from. `brief` stands with the step it is about, too."""

    id: str
    title: str
    brief: str
    more: str
    source: str

    @property
    def text(self) -> str:
        """The whole caution."""
        return f"{self.brief} {self.more}"


@cache
def load_cautions() -> tuple[str, tuple[Caution, ...]]:
    """The opening words, which defer to codes and licensed practice, and the cautions."""
    document = tomllib.loads(resource_path("cautions.toml").read_text("utf-8"))
    return document["lead"], tuple(Caution(**record) for record in document["caution"])


def caution(caution_id: str) -> Caution:
    """The caution with this id; KeyError when there is none."""
    return {one.id: one for one in load_cautions()[1]}[caution_id]


def caution_pages(paper: Paper) -> list[SheetPage]:
    """The cautions, each kept together."""
    lead, cautions = load_cautions()
    blocks: list[Sequence[Flowable]] = [[paragraph(lead), gap(4)]]
    blocks += [
        [
            paragraph(one.title, SUBHEAD),
            paragraph(one.text),
            labelled("Source:", one.source, SMALL),
            gap(3.5),
        ]
        for one in cautions
    ]
    return flow_pages(SECTION, blocks, paper)

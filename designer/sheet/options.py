"""What of a build sheet is wanted, and on which paper."""

import datetime
from dataclasses import dataclass

from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.paper import Paper
from designer.sheet.template import Template, TemplateKind


@dataclass(frozen=True)
class SheetOptions:
    """`paper` wins over the design's own; `template_paper` over both, for the templates alone.

    `templates` are the kinds wanted, None for those that every bed needs; `buckets` are the ids of
    the buckets whose templates are wanted, None for all. `date` is printed on every sheet, today
    when None.
    """

    paper: Paper | None = None
    template_paper: Paper | None = None
    only_templates: bool = False
    templates: frozenset[TemplateKind] | None = None
    buckets: frozenset[str] | None = None
    correction: Correction = UNCORRECTED
    date: datetime.date | None = None

    @property
    def kinds(self) -> frozenset[TemplateKind]:
        """The kinds of templates to be printed."""
        return USUAL if self.templates is None else self.templates

    def wants(self, template: Template) -> bool:
        """Whether a template is to be printed."""
        asked = self.buckets is None or bool(self.buckets & template.buckets)
        return template.kind in self.kinds and asked


USUAL: frozenset[TemplateKind] = frozenset({"outlet", "drain", "manifold"})
"""The kinds that every bed needs; the others are printed where they are asked for."""

"""All steps of a bed in the order in which it is built."""

from designer.analysis import Analysis
from designer.sheet.steps.buckets import buckets
from designer.sheet.steps.drain import drain
from designer.sheet.steps.drilling import drilling
from designer.sheet.steps.feed import feed
from designer.sheet.steps.fill import fill
from designer.sheet.steps.leak_test import leak_test
from designer.sheet.steps.stand import stand
from designer.sheet.steps.step import Step

_IN_ORDER = (drilling, stand, drain, buckets, feed, leak_test, fill)


def build_steps(analysis: Analysis) -> tuple[Step, ...]:
    """The steps that this bed needs. Without the second step of the analysis those of water and
    stand are there without its numbers."""
    return tuple(step for make in _IN_ORDER if (step := make(analysis)) is not None)

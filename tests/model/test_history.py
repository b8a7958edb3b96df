"""Undo and redo give back the very designs that were, however many steps there were."""

import random

import pytest

from designer.model import edits
from designer.model.history import History
from tests.beds import bed
from tests.model.random_edits import random_edit


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_five_hundred_edits_come_undone_and_redone_exactly(seed: int) -> None:
    draw = random.Random(seed)
    start = bed(4)
    history = History(start)
    steps = [start]
    while len(steps) <= 500:
        if history.push(random_edit(history.present, draw), f"Step {len(steps)}"):
            steps.append(history.present)
    for design in reversed(steps[:-1]):
        assert history.undo()
        assert history.present is design
    assert not history.undo()
    for design in steps[1:]:
        assert history.redo()
        assert history.present is design
    assert not history.redo()


def test_a_new_step_after_undo_forgets_what_was_undone() -> None:
    history = History(bed(2))
    history.push(edits.set_fall(history.present, "r1", 40.0), "More fall")
    history.undo()
    history.push(edits.set_fall(history.present, "r1", 50.0), "Much more fall")
    assert history.redo_label is None
    assert history.undo_label == "Much more fall"


def test_a_design_equal_to_the_present_is_no_step() -> None:
    history = History(bed(2))
    assert not history.push(
        edits.set_fall(history.present, "r1", history.present.runs[0].drain.fall), "Same"
    )
    assert not history.push(bed(2), "Equal")
    assert history.undo_label is None


def test_steps_have_names_both_ways() -> None:
    history = History(bed(2))
    history.push(edits.set_fall(history.present, "r1", 40.0), "More fall")
    assert (history.undo_label, history.redo_label) == ("More fall", None)
    history.undo()
    assert (history.undo_label, history.redo_label) == (None, "More fall")


def test_undoing_back_to_what_was_saved_leaves_nothing_to_save() -> None:
    history = History(bed(2))
    assert not history.changed
    history.push(edits.set_fall(history.present, "r1", 40.0), "More fall")
    assert history.changed
    history.undo()
    assert not history.changed
    history.redo()
    history.mark_saved()
    assert not history.changed
    history.undo()
    assert history.changed
    history.mark_unsaved()
    history.redo()
    assert history.changed

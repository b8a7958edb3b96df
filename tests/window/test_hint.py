"""The hint in the status bar belongs to the design on show."""

from designer.model.design import Design
from designer.window.main_window import MainWindow


def test_another_design_does_not_keep_the_hint_of_the_last(window: MainWindow, bed: Design) -> None:
    window.files.begin(Design(title="Empty"), unsaved=False)
    assert window._hint.text() == "Nothing chosen. The sheet has no run yet."
    window.files.begin(bed)
    assert window._hint.text().startswith("Nothing chosen. ")
    assert "no run yet" not in window._hint.text()

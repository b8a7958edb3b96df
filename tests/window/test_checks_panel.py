"""The Checks panel: grouping, remedies on trial and done, accepting, zooming, and many cases."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from designer import analysis as analysis_module
from designer.analysis import WORKING, Analysis
from designer.canvas import document as document_module
from designer.canvas.document import Document
from designer.checks.finding import Case, Finding, Remedy
from designer.model import edits
from designer.model.design import Design
from designer.sketch import Answers, sketch
from designer.window.accept_dialog import AcceptDialog
from designer.window.checks_panel import ChecksPanel
from designer.window.finding_card import POINT, RemedyButton
from designer.window.two_line_delegate import DETAIL_ROLE

Judge = Callable[[Design], tuple[Finding, ...]]


def flat(design: Design) -> tuple[Finding, ...]:
    """Two hand-made rules: the fall must be 30 mm or more, and pipes should be thick."""
    fall = design.runs[0].drain.fall
    state = "good" if fall >= 30 else "must_fix"
    raise_it = Remedy("Raise the capped end to 40 mm", lambda d: edits.set_fall(d, "r1", 40.0))
    steep = Remedy("Raise it to 50 mm & more", lambda d: edits.set_fall(d, "r1", 50.0))
    return (
        Finding(
            "fall", "The drain falls", state, ("r1",), f"{fall:g} mm", "30 mm", "Water.", "Code",
            (raise_it, steep) if state != "good" else (),
        ),
        Finding("wall", "Pipe is thick", "look_again", ("r1", "b2"), "2 mm", "3 mm", "Sun.", "DIN"),
        Finding("site", "All on the site", "good", ("site",), "yes", "yes", "Fence.", "Judgement"),
    )  # fmt: skip


def document_with(monkeypatch: pytest.MonkeyPatch, judge: Judge) -> Document:
    """A document whose findings come from `judge` in place of the rules."""

    def analyse(design: Design, previous: Analysis | None = None) -> Analysis:
        made = analysis_module.analyse(design, previous)
        found = analysis_module._accept(design, list(judge(design)))
        return replace(made, findings=found, water_current=True, stands_current=True)

    monkeypatch.setattr(document_module, "analyse", analyse)
    design = sketch(Answers(title="North bed", buckets=6, units="metric", paper="a4"))
    return Document(edits.set_fall(design, "r1", 10.0))


@pytest.fixture
def document(qapp: object, monkeypatch: pytest.MonkeyPatch) -> Document:
    return document_with(monkeypatch, flat)


def shown_panel(document: Document, qtbot: QtBot) -> ChecksPanel:
    panel = ChecksPanel(document)
    qtbot.addWidget(panel)
    panel.resize(300, 800)
    with qtbot.waitExposed(panel):
        panel.show()
    return panel


@pytest.fixture
def panel(document: Document, qtbot: QtBot) -> ChecksPanel:
    return shown_panel(document, qtbot)


def row(panel: ChecksPanel, state: int, finding: int | None = None) -> QModelIndex:
    group = panel.model.index(state, 0)
    return group if finding is None else panel.model.index(finding, 0, group)


def titles(panel: ChecksPanel) -> list[str]:
    return [str(row(panel, state).data()) for state in range(3)]


def settled(panel: ChecksPanel, qtbot: QtBot, expected: list[str]) -> None:
    qtbot.waitUntil(lambda: titles(panel) == expected, timeout=2000)


def click_row(panel: ChecksPanel, qtbot: QtBot, index: QModelIndex) -> None:
    middle = panel.tree.visualRect(index).center()
    qtbot.mouseClick(panel.tree.viewport(), Qt.MouseButton.LeftButton, pos=middle)


def point_at(button: QWidget) -> None:
    QTest.mouseMove(button, button.rect().center())
    QTest.mouseMove(button, button.rect().center() + QPoint(2, 0))


def go_away(panel: ChecksPanel, button: RemedyButton) -> None:
    QTest.mouseMove(panel.tree.viewport(), QPoint(5, 5))
    QTest.mouseMove(panel.tree.viewport(), QPoint(9, 9))


def test_findings_stand_under_their_states_with_counts(panel: ChecksPanel) -> None:
    assert titles(panel) == ["Must fix: 1", "Look again: 1", "Good: 1"]
    assert panel.tree.isExpanded(row(panel, 0))
    assert panel.tree.isExpanded(row(panel, 1))
    assert not panel.tree.isExpanded(row(panel, 2))
    finding = row(panel, 0, 0)
    assert finding.data() == "The drain falls"
    assert finding.data(DETAIL_ROLE) == "10 mm"
    spoken = finding.data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Must fix: The drain falls. 10 mm"


def test_states_differ_by_the_shape_of_their_symbols(panel: ChecksPanel) -> None:
    def outline(state: int) -> list[bool]:
        picture = row(panel, state).data(Qt.ItemDataRole.DecorationRole).pixmap(48, 48).toImage()
        dots = range(0, picture.width(), 2)
        return [picture.pixelColor(x, y).alpha() > 127 for x in dots for y in dots]

    shapes = [outline(state) for state in range(3)]
    assert shapes[0] != shapes[1] != shapes[2] != shapes[0]
    # The diamond of Must fix is filled, the triangle of Look again open.
    assert sum(shapes[0]) > sum(shapes[1]) > 0


def test_a_chosen_finding_says_what_is_and_what_is_needed_and_why(
    panel: ChecksPanel, qtbot: QtBot
) -> None:
    click_row(panel, qtbot, row(panel, 0, 0))
    words = [label.text() for label in panel.card.texts.values()]
    assert words == ["Now: 10 mm", "Needed: 30 mm", "Why: Water.", "Source: Code"]
    assert panel.card.about.text() == "Concerns: Run 1"
    assert [button.accessibleName() for button in panel.card.buttons] == [
        "Raise the capped end to 40 mm",
        "Raise it to 50 mm & more",
    ]


def test_click_and_enter_select_the_subject_and_zoom_to_it(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(panel.zoom_to) as zoomed:
        click_row(panel, qtbot, row(panel, 1, 0))
    assert zoomed.args == [("r1", "b2"), "plan"]
    assert document.selection == {"r1", "b2"}
    panel.tree.setCurrentIndex(row(panel, 0, 0))
    with qtbot.waitSignal(panel.zoom_to) as zoomed:
        qtbot.keyClick(panel.tree, Qt.Key.Key_Return)
    assert zoomed.args == [("r1",), "plan"]
    assert document.selection == {"r1"}


def test_pointing_at_a_remedy_shows_it_and_leaving_drops_it(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    before = document.committed
    click_row(panel, qtbot, row(panel, 0, 0))
    button = panel.card.buttons[0]
    point_at(button)
    assert document.design.runs[0].drain.fall == 40.0
    assert document.committed is before
    assert panel.card.trying.text() == "On trial: Must fix 1 → 0"
    # The panel keeps still while a remedy is on trial, or the button would run away.
    assert titles(panel) == ["Must fix: 1", "Look again: 1", "Good: 1"]
    assert panel.card.buttons[0] is button
    go_away(panel, button)
    assert document.design is before
    assert panel.card.trying.text() == POINT
    assert document.history.undo_label is None


def test_going_from_remedy_to_remedy_tries_each(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    click_row(panel, qtbot, row(panel, 0, 0))
    point_at(panel.card.buttons[0])
    point_at(panel.card.buttons[1])
    assert document.design.runs[0].drain.fall == 50.0
    go_away(panel, panel.card.buttons[1])
    assert document.design is document.committed


def test_a_pressed_remedy_is_one_named_step_that_undo_takes_back(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    before = document.committed
    click_row(panel, qtbot, row(panel, 0, 0))
    button = panel.card.buttons[0]
    point_at(button)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert document.committed.runs[0].drain.fall == 40.0
    assert document.design is document.committed
    assert document.history.undo_label == "Raise the capped end to 40 mm"
    assert titles(panel) == ["Must fix: none", "Look again: 1", "Good: 2"]
    # What was mended stays in sight and now reads Good; the closed group stays closed.
    assert panel.card.title.text() == "The drain falls"
    assert panel.card.buttons == []
    assert not panel.tree.isExpanded(row(panel, 2))
    document.undo()
    assert document.committed == before
    assert document.history.undo_label is None
    settled(panel, qtbot, ["Must fix: 1", "Look again: 1", "Good: 1"])


def test_a_remedy_works_by_keyboard_and_the_draft_goes_with_the_focus(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    panel.activateWindow()
    qtbot.waitUntil(panel.isActiveWindow)
    panel.tree.setCurrentIndex(row(panel, 0, 0))
    panel.tree.setFocus()
    first, second = panel.card.buttons
    first.setFocus(Qt.FocusReason.TabFocusReason)
    assert document.design.runs[0].drain.fall == 40.0
    qtbot.keyClick(first, Qt.Key.Key_Tab)
    assert second.hasFocus()
    assert document.design.runs[0].drain.fall == 50.0
    panel.tree.setFocus()
    assert document.design is document.committed
    second.setFocus(Qt.FocusReason.BacktabFocusReason)
    qtbot.keyClick(second, Qt.Key.Key_Space)
    assert document.committed.runs[0].drain.fall == 50.0
    assert panel.tree.hasFocus()


def test_hiding_the_panel_or_undoing_drops_the_draft(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    click_row(panel, qtbot, row(panel, 0, 0))
    point_at(panel.card.buttons[0])
    panel.hide()
    assert document.design is document.committed
    panel.show()
    document.apply(lambda d: edits.set_fall(d, "r1", 12.0), "Set the fall")
    point_at(panel.card.buttons[0])
    document.undo()
    assert document.design.runs[0].drain.fall == 10.0
    qtbot.waitUntil(lambda: row(panel, 0, 0).data(DETAIL_ROLE) == "10 mm")


def test_accept_with_a_reason_and_take_it_back(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    click_row(panel, qtbot, row(panel, 0, 0))
    assert not panel.card.accept.isVisible()  # Must fix cannot be accepted
    click_row(panel, qtbot, row(panel, 1, 0))
    qtbot.mouseClick(panel.card.accept, Qt.MouseButton.LeftButton)
    dialog = panel.findChild(AcceptDialog)
    assert dialog is not None
    assert not dialog.ok.isEnabled()
    qtbot.keyClicks(dialog.box, "   ")
    assert not dialog.ok.isEnabled()
    dialog.box.setPlainText("r" * 401)
    assert not dialog.ok.isEnabled()
    assert dialog.problem.text() == "The reason can have 400 letters at most; this has 401."
    dialog.box.clear()
    qtbot.keyClicks(dialog.box, "It stands in the shade.")
    qtbot.mouseClick(dialog.ok, Qt.MouseButton.LeftButton)
    (accepted,) = document.committed.accepted
    assert (accepted.rule, accepted.subjects) == ("wall", ("r1", "b2"))
    assert document.history.undo_label == "Accept “Pipe is thick”"
    assert panel.card.accepted.text() == "Accepted: It stands in the shade."
    assert titles(panel)[1] == "Look again: 1, 1 accepted"
    assert "It stands in the shade." in row(panel, 1, 0).data(DETAIL_ROLE)
    assert not panel.card.accept.isVisible()
    qtbot.mouseClick(panel.card.take_back, Qt.MouseButton.LeftButton)
    assert document.committed.accepted == ()
    assert panel.card.accept.isVisible()
    assert titles(panel)[1] == "Look again: 1"


def test_a_drag_is_followed_in_steps_and_ends_up_to_date(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    rendered: list[Any] = []
    take = panel.model.show_findings
    panel.model.show_findings = lambda findings: rendered.append(findings) or take(findings)  # type: ignore[method-assign, func-returns-value]
    for step in range(60):
        document.preview(edits.set_fall(document.committed, "r1", 11.0 + step / 10))
    assert len(rendered) < 60
    qtbot.waitUntil(lambda: row(panel, 0, 0).data(DETAIL_ROLE) == "16.9 mm")
    document.cancel()
    qtbot.waitUntil(lambda: row(panel, 0, 0).data(DETAIL_ROLE) == "10 mm")


def test_rows_that_read_the_same_are_not_drawn_again(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    changed: list[Any] = []
    panel.model.dataChanged.connect(lambda *index: changed.append(index))
    panel.model.modelReset.connect(lambda: changed.append("reset"))
    document.apply(lambda d: edits.set_design(d, notes="Water at dawn."), "")
    qtbot.waitUntil(lambda: not panel._timer.isActive())
    assert changed == []
    document.apply(lambda d: edits.set_fall(d, "r1", 11.0), "")
    qtbot.waitUntil(lambda: bool(changed))
    assert [index[0].data() for index in changed] == ["The drain falls"]


def test_five_hundred_cases_open_into_rows_of_their_own(
    qapp: object, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    def many(design: Design) -> tuple[Finding, ...]:
        names = [f"b{n}" for n in range(1, 501)]
        cases = tuple(Case((name,), f"{n} mm", "500 mm") for n, name in enumerate(names, 1))
        return (
            Finding(
                "tails-reach", "Tails reach", "must_fix", tuple(names), "too short", "longer",
                "Air.", "Trade", cases=cases,
            ),
        )  # fmt: skip

    document = document_with(monkeypatch, many)
    panel = shown_panel(document, qtbot)
    widgets = len(panel.findChildren(QWidget))
    finding = row(panel, 0, 0)
    assert panel.model.rowCount(finding) == 500
    panel.tree.expand(finding)
    case = panel.model.index(2, 0, finding)
    assert panel.model.parent(case) == finding
    assert case.data() == "Bucket C"
    assert case.data(DETAIL_ROLE) == "3 mm; needed: 500 mm"
    with qtbot.waitSignal(panel.zoom_to) as zoomed:
        click_row(panel, qtbot, case)
    assert zoomed.args == [("b3",), "elevation"]
    assert document.selection == {"b3"}
    assert panel.card.texts["Now"].text() == "Now: 3 mm"
    last = panel.model.index(499, 0, finding)
    panel.tree.scrollTo(last)
    assert panel.tree.visualRect(last).isValid()
    assert len(panel.findChildren(QWidget)) == widgets


def test_open_rows_and_the_current_one_outlive_new_findings(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    panel.tree.expand(row(panel, 2))
    panel.tree.setCurrentIndex(row(panel, 2, 0))
    assert panel.card.title.text() == "All on the site"
    panel.tree.collapse(row(panel, 1))
    document.apply(lambda d: edits.set_fall(d, "r1", 35.0), "")
    settled(panel, qtbot, ["Must fix: none", "Look again: 1", "Good: 2"])
    assert panel.tree.isExpanded(row(panel, 2))
    assert not panel.tree.isExpanded(row(panel, 1))
    assert panel.tree.currentIndex().data() == "All on the site"


def test_the_rules_own_remedies_can_be_tried_and_done(qapp: object, qtbot: QtBot) -> None:
    design = sketch(Answers(title="North bed", buckets=6, units="metric", paper="a4"))
    document = Document(edits.set_reservoir(edits.set_fall(design, "r1", 4.0), sunk=20.0))
    panel = shown_panel(document, qtbot)
    tried = 0
    for state in range(2):
        for n in range(panel.model.rowCount(row(panel, state))):
            panel.tree.setCurrentIndex(row(panel, state, n))
            for button in panel.card.buttons:
                before = document.committed
                point_at(button)
                go_away(panel, button)
                assert document.design is before
                tried += 1
    assert tried
    panel.tree.setCurrentIndex(row(panel, 0, 0))
    button = panel.card.buttons[0]
    label = button.accessibleName()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert document.history.undo_label == label


def test_every_trial_is_compared_with_the_design_and_not_with_the_trial_before(
    qapp: object, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    def judge(design: Design) -> tuple[Finding, ...]:
        fall = design.runs[0].drain.fall
        state = "must_fix" if fall > 45 else "good"
        steep = Finding("steep", "Not too steep", state, ("r1",), "", "", "", "")
        return (*flat(design), steep)

    document = document_with(monkeypatch, judge)
    panel = shown_panel(document, qtbot)
    click_row(panel, qtbot, row(panel, 0, 0))
    to_40, to_50 = panel.card.buttons
    said = []
    for button in (to_50, to_40, to_50):
        point_at(button)
        said.append(panel.card.trying.text())
        assert document.on_trial
        assert document.judged.design is document.committed
    level = "On trial: see the drawing"  # one mended, another broken
    assert said == [level, "On trial: Must fix 1 → 0", level]
    go_away(panel, to_50)
    assert not document.on_trial
    assert document.judged is document.analysis


def test_while_the_water_waits_no_count_of_a_trial_is_told(
    qapp: object, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    def judge(design: Design) -> tuple[Finding, ...]:
        pump = Finding(
            "pump", "The pump lifts", "must_fix", ("reservoir",), WORKING, WORKING, "", ""
        )
        return (*flat(design), pump)

    panel = shown_panel(document_with(monkeypatch, judge), qtbot)
    assert titles(panel)[0] == "Must fix: 2, 1 being worked out"
    click_row(panel, qtbot, row(panel, 0, 0))
    point_at(panel.card.buttons[0])
    assert panel.card.trying.text() == "On trial: water and stand are being worked out"


def test_a_pressed_remedy_keeps_what_was_worked_out_for_its_trial(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    click_row(panel, qtbot, row(panel, 0, 0))
    point_at(panel.card.buttons[0])
    tried = document.analysis
    qtbot.mouseClick(panel.card.buttons[0], Qt.MouseButton.LeftButton)
    assert document.analysis is tried
    assert document.judged is tried
    assert not document.on_trial


def test_a_remedy_that_is_scrolled_away_from_the_mouse_is_dropped(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    panel.resize(300, 240)
    click_row(panel, qtbot, row(panel, 0, 0))
    point_at(panel.card.buttons[0])
    assert document.on_trial
    panel._scroll.verticalScrollBar().setValue(panel._scroll.verticalScrollBar().value() + 20)
    assert document.design is document.committed


def test_a_chosen_finding_is_seen_down_to_its_remedies(
    document: Document, panel: ChecksPanel, qtbot: QtBot
) -> None:
    panel.resize(300, 420)
    click_row(panel, qtbot, row(panel, 0, 0))
    seen = panel._scroll.viewport()

    def whole() -> bool:
        bottoms = [b.mapTo(seen, b.rect().bottomLeft()).y() for b in panel.card.buttons]
        return 0 < max(bottoms) <= seen.height()

    qtbot.waitUntil(whole)
    assert panel.tree.height() >= 6 * panel.fontMetrics().lineSpacing()

"""The Dimensions panel: typing, refusing, choosing, several things at once, measured parts."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialogButtonBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from designer.canvas.document import Document
from designer.model import edits
from designer.model.design import Point
from designer.model.parts import BucketPart
from designer.sketch import Answers, fresh_obstacle, sketch
from designer.window.choice_fields import ChoiceField, NotesField, YesNoField
from designer.window.corners_field import CornersField
from designer.window.dimensions import DimensionsPanel
from designer.window.entries import Entry
from designer.window.field_table import SECTIONS
from designer.window.fields import SEVERAL, Field, TypedField
from designer.window.measured_part_dialog import MeasuredPartDialog
from designer.window.part_forms import PART_FORMS


@pytest.fixture
def document(qapp: object) -> Document:
    return Document(sketch(Answers(title="North bed", buckets=6, units="metric", paper="a4")))


@pytest.fixture
def panel(document: Document, qtbot: QtBot) -> DimensionsPanel:
    shown = DimensionsPanel(document)
    qtbot.addWidget(shown)
    shown.resize(300, 900)
    shown.show()
    return shown


def field(panel: DimensionsPanel, label: str) -> Field:
    assert panel.form is not None
    for box in panel.form.boxes.values():
        box.heading.setChecked(True)
    return panel.form.field(label)


def line(panel: DimensionsPanel, label: str) -> QLineEdit:
    found = field(panel, label)
    assert isinstance(found, TypedField)
    return found.line


def type_in(qtbot: QtBot, entry: QWidget, text: str) -> None:
    entry.setFocus()
    qtbot.keyClick(entry, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(entry, text)


def fall(document: Document) -> float:
    return document.design.runs[0].drain.fall


def test_a_typed_fall_is_one_named_undo_step(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    before = fall(document)
    document.select(["r1"])
    entry = line(panel, "Fall")
    type_in(qtbot, entry, "3,5 cm")
    assert fall(document) == before
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    assert fall(document) == 35.0
    assert entry.text() == "35 mm"
    assert document.history.undo_label == "Set the fall"
    document.undo()
    assert fall(document) == before
    assert entry.text() == f"{before:.0f} mm"
    assert document.history.undo_label is None


def test_leaving_a_field_enters_what_was_typed(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    entry = line(panel, "Fall")
    with qtbot.waitActive(panel):
        panel.activateWindow()
    type_in(qtbot, entry, "31")
    qtbot.keyClick(entry, Qt.Key.Key_Tab)
    assert fall(document) == 31.0


def test_an_untouched_field_never_rounds_the_value(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.commit(edits.set_fall(document.committed, "r1", 28.123), "")
    document.select(["r1"])
    design = document.committed
    entry = line(panel, "Fall")
    assert entry.text() == "28 mm"
    assert "28.123 mm" in field(panel, "Fall").toolTip()
    entry.setFocus()
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    qtbot.keyClick(entry, Qt.Key.Key_Tab)
    type_in(qtbot, entry, "28 mm")
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    assert document.committed is design


@pytest.mark.parametrize(
    ("label", "text", "reason"),
    [
        ("Fall", "3 cmm", "Unknown unit 'cmm'"),
        ("Fall", "9 m", "Fall must be at most 2000 mm."),
        ("Length", "0", "Length must be more than 0."),
        ("Number of buckets", "2.5", "Number of buckets must be a whole number."),
        ("Number of buckets", "501", "Number of buckets must be at most 500."),
        ("Number of supports", "1", "Number of supports must be at least 2."),
        ("Name", "", "Name cannot be empty."),
        ("Name", "n" * 121, "Name can have 120 letters at most; this has 121."),
        ("Supports, from the outlet end", "0", "Type 2 or more, with semicolons between them."),
        ("Heading", "north", "Type a number for heading, such as 2."),
    ],
)
def test_a_refused_value_says_why_and_changes_nothing(
    document: Document, panel: DimensionsPanel, qtbot: QtBot, label: str, text: str, reason: str
) -> None:
    document.select(["r1"])
    design = document.committed
    entry = line(panel, label)
    before = entry.text()
    type_in(qtbot, entry, text) if text else entry.clear()
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    shown = field(panel, label)
    assert shown.reason.startswith(reason)
    assert before in shown.reason
    assert entry.accessibleDescription() == shown.reason
    assert document.committed is design
    assert entry.text() == text
    qtbot.keyClick(entry, Qt.Key.Key_Escape)
    assert entry.text() == before
    assert shown.reason == ""


def test_half_typed_text_outlives_a_change_elsewhere(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    entry = line(panel, "Fall")
    with qtbot.waitActive(panel):
        panel.activateWindow()
    type_in(qtbot, entry, "4")
    document.preview(edits.set_fall(document.committed, "r1", 99.0))
    document.cancel()
    document.apply(lambda d: edits.set_run(d, "r1", name="South"), "")
    assert entry.hasFocus()
    assert entry.text() == "4"
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    assert fall(document) == 4.0


def test_half_typed_text_goes_to_what_was_chosen_when_it_was_typed(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["b1"])
    type_in(qtbot, line(panel, "From the capped end"), "450 mm")
    other = document.design.runs[0].buckets[1]
    document.select(["b2"])
    run = document.design.runs[0]
    assert run.length - run.buckets[0].station == 450.0
    assert run.buckets[1] == other
    assert line(panel, "From the capped end").text() == f"{run.length - other.station:.0f} mm"


def test_a_running_drag_updates_values_without_new_widgets(
    document: Document, panel: DimensionsPanel
) -> None:
    document.select(["b1"])
    form = panel.form
    entry = line(panel, "From the capped end")
    for step in range(5):
        document.preview(edits.move_buckets(document.committed, ["b1"], -10.0 * (step + 1)))
    assert panel.form is form
    run, moved = document.design.runs[0], document.design.runs[0].buckets[0]
    assert entry.text() == f"{run.length - moved.station:.0f} mm"


def test_several_buckets_share_fields_and_change_in_one_step(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    ids = [bucket.id for bucket in document.design.runs[0].buckets]
    document.select(ids)
    assert panel.heading.text() == "6 buckets"
    assert field(panel, "From the capped end").value is SEVERAL
    assert line(panel, "From the capped end").placeholderText() == "several values"
    side = field(panel, "Side of the drain")
    assert isinstance(side, ChoiceField)
    assert side.combo.currentIndex() == -1
    assert field(panel, "Bucket").value is None
    before = document.committed
    qtbot.keyClick(side.combo, Qt.Key.Key_Down)
    assert {bucket.side for bucket in document.design.runs[0].buckets} == {"left"}
    document.undo()
    assert document.committed == before
    assert document.history.undo_label is None


def test_untouched_several_values_stay(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["b1", "b2"])
    design = document.committed
    entry = line(panel, "From the capped end")
    entry.setFocus()
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    assert document.committed is design


def test_things_of_several_kinds_share_no_fields(
    document: Document, panel: DimensionsPanel
) -> None:
    document.select(["b1", "reservoir"])
    assert panel.form is not None
    assert panel.form.fields() == []
    assert "one kind" in panel.remark.text()


def test_the_reservoir_deleted_under_the_panel_gives_way_to_the_design(
    document: Document, panel: DimensionsPanel
) -> None:
    document.select(["reservoir"])
    assert panel.heading.text() == "Reservoir"
    document.apply(lambda design: edits.delete(design, ["reservoir"]), "")
    assert panel.heading.text() == "Design"
    document.undo()
    document.select(["b1"])
    document.apply(lambda design: edits.delete(design, ["b1"]), "")
    assert panel.heading.text() == "Design"


def test_a_new_pitch_moves_buckets_that_stand_at_the_pitch(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    entry = line(panel, "Pitch")
    type_in(qtbot, entry, "250\r")
    run = document.design.runs[0]
    assert [run.length - b.station for b in run.buckets] == [250.0 * n for n in range(1, 7)]
    document.apply(lambda d: edits.move_buckets(d, ["b1"], -40.0), "")
    by_hand = document.design.runs[0].buckets
    type_in(qtbot, entry, "240\r")
    assert document.design.runs[0].pitch == 240.0
    assert document.design.runs[0].buckets == by_hand


def test_supports_by_number_and_by_station(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    length = document.design.runs[0].length
    type_in(qtbot, line(panel, "Number of supports"), "3\r")
    assert document.design.runs[0].stand.supports == (0.0, length / 2, length)
    type_in(qtbot, line(panel, "Supports, from the outlet end"), "1 m; 0; 15 cm\r")
    assert document.design.runs[0].stand.supports == (0.0, 150.0, 1000.0)


def test_tick_boxes_and_choices_change_the_run(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    follow = field(panel, "Rails follow the fall")
    assert isinstance(follow, YesNoField)
    qtbot.keyClick(follow.box, Qt.Key.Key_Space)
    assert document.design.runs[0].stand.follow_fall
    tails = field(panel, "Cut tails")
    assert isinstance(tails, ChoiceField)
    assert field(panel, "Length of a tail").isVisible()
    qtbot.keyClick(tails.combo, Qt.Key.Key_Down)
    assert document.design.runs[0].tails.cut == "graded"
    assert not field(panel, "Length of a tail").isVisible()


def test_place_of_the_run_takes_its_bends_along(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    type_in(qtbot, line(panel, "Place, up"), "500\r")
    assert document.design.runs[0].start.y == 500.0
    assert document.history.undo_label == "Move the run"


def test_units_follow_the_design_and_inches_are_read(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    entry = line(panel, "Fall")
    document.apply(lambda d: edits.set_design(d, units="imperial"), "")
    type_in(qtbot, entry, "1 1/2\r")
    assert fall(document) == pytest.approx(38.1)
    assert entry.text() == '1 1/2"'


def test_title_and_notes_are_entered_when_left(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    type_in(qtbot, line(panel, "Title"), "South bed\r")
    assert document.design.title == "South bed"
    notes = field(panel, "Notes")
    assert isinstance(notes, NotesField)
    with qtbot.waitActive(panel):
        panel.activateWindow()
    notes.box.setFocus()
    qtbot.keyClicks(notes.box, "Water at dawn.")
    assert document.design.notes == ""
    qtbot.keyClick(notes.box, Qt.Key.Key_Tab)
    assert document.design.notes == "Water at dawn."


def test_corners_are_typed_added_and_refused(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    square = (Point(0, 0), Point(1000, 0), Point(1000, 1000), Point(0, 1000))
    document.apply(lambda d: edits.set_outline(d, square), "")
    document.select(["site"])
    corners = field(panel, "Corners")
    assert isinstance(corners, CornersField)
    corners.table.item(1, 0).setText("2 m")
    assert document.design.outline[1] == Point(2000.0, 0)
    corners.table.item(1, 1).setText("over there")
    assert "Cannot read" in corners.reason
    assert corners.table.item(1, 1).text() == "0 mm"
    corners.table.setCurrentCell(3, 0)
    qtbot.mouseClick(corners.add, Qt.MouseButton.LeftButton)
    assert document.design.outline[4] == Point(0, 500)
    qtbot.mouseClick(corners.remove, Qt.MouseButton.LeftButton)
    assert len(document.design.outline) == 4


def test_obstacle_fields_keep_to_the_shape(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    wall = fresh_obstacle(document.design, "wall", Point(0, 3000))
    document.apply(lambda d: edits.add_obstacle(d, wall), "")
    document.select([wall.id])
    assert field(panel, "Depth").isVisible()
    type_in(qtbot, line(panel, "Width"), "3 m\r")
    assert document.design.obstacles[0].width == 3000.0
    document.apply(lambda d: edits.set_obstacle(d, wall.id, shape="round"), "")
    assert not field(panel, "Depth").isVisible()


def test_bucket_choice_shows_the_evidence_of_its_sizes(
    document: Document, panel: DimensionsPanel
) -> None:
    document.select(["r1"])
    bucket = field(panel, "Bucket")
    assert "measure yours" in bucket.toolTip()
    assert "from memory" in bucket.toolTip()


def test_measuring_a_bucket_keeps_it_and_chooses_it_in_one_step(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    document.select(["r1"])
    before = document.committed
    bucket = field(panel, "Bucket")
    assert isinstance(bucket, ChoiceField)
    index = bucket.combo.findText("New measured part…")
    qtbot.keyClick(bucket.combo, Qt.Key.Key_End)
    assert bucket.combo.currentText() == "20 L bucket"
    assert panel.findChild(MeasuredPartDialog) is None
    bucket.combo.showPopup()
    rows = bucket.combo.view()
    rows.setCurrentIndex(rows.model().index(index, 0))
    qtbot.keyClick(rows, Qt.Key.Key_Return)
    assert bucket.combo.currentText() == "20 L bucket"
    dialog = panel.findChild(MeasuredPartDialog)
    assert dialog is not None
    save = dialog.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Save)
    qtbot.mouseClick(save, Qt.MouseButton.LeftButton)
    assert dialog.problem.text() == "Type “Name” too."
    type_in(qtbot, dialog.name.line, "Blue bucket")
    for name, text in {
        "rim_diameter": "31 cm",
        "top_diameter": "320",
        "base_diameter": "260",
        "height": "370",
        "wall": "2.4",
    }.items():
        size = dialog.fields[name]
        assert isinstance(size, TypedField)
        assert size.line.text() == ""  # nothing counts as measured that was not typed
        type_in(qtbot, size.line, text)
    qtbot.mouseClick(save, Qt.MouseButton.LeftButton)
    assert dialog.problem.text() == "The rim cannot be narrower than the wall under it."
    assert document.committed is before
    top = dialog.fields["top_diameter"]
    assert isinstance(top, TypedField)
    type_in(qtbot, top.line, "300")
    qtbot.mouseClick(save, Qt.MouseButton.LeftButton)
    made = BucketPart(
        id="own-bucket-1",
        name="Blue bucket",
        rim_diameter=310,
        top_diameter=300,
        base_diameter=260,
        height=370,
        wall=2.4,
    )
    assert document.design.own_parts == (made,)
    assert document.design.runs[0].bucket == "own-bucket-1"
    assert document.history.undo_label == "Measure the bucket"
    assert bucket.combo.currentText() == "Blue bucket"
    assert bucket.combo.findText("Measure “Blue bucket” again…") > 0
    document.undo()
    assert document.committed == before


@pytest.mark.parametrize("kind", PART_FORMS)
def test_every_kind_of_part_can_be_measured_again_unchanged(
    document: Document, qtbot: QtBot, kind: str
) -> None:
    catalogue = document.analysis.catalogue
    for part in catalogue.of_kind(kind):
        for units in ("metric", "imperial"):
            dialog = MeasuredPartDialog(kind, catalogue, units, again=part)
            qtbot.addWidget(dialog)
            made: list[object] = []
            dialog.part_made.connect(made.append)
            dialog.show()
            buttons = dialog.findChild(QDialogButtonBox)
            buttons.button(QDialogButtonBox.StandardButton.Save).click()
            assert made == [part]


def test_every_field_shows_what_writing_it_stored(document: Document) -> None:
    wall = fresh_obstacle(document.design, "wall", Point(0, 3000))
    document.apply(lambda d: edits.add_obstacle(d, wall), "")
    analysis = document.analysis
    subjects = {
        "design": "design", "run": "r1", "bucket": "b1", "reservoir": "reservoir",
        "obstacle": wall.id, "site": "site",
    }  # fmt: skip
    seen = 0
    for kind, subject in subjects.items():
        for section in SECTIONS[kind]:  # type: ignore[index]
            for entry in section.lines:
                if isinstance(entry, Entry):
                    value = entry.read(analysis, subject)
                    kept = entry.write(analysis.design, (subject,), value)
                    if entry.label not in ("Length", "Number of buckets", "Number of supports"):
                        assert kept == analysis.design, entry.label
                    seen += 1
                else:
                    assert entry.text(analysis, subject)
                    seen += 1
    assert seen > 60


def test_a_run_without_buckets_or_return_still_has_its_facts(
    document: Document, panel: DimensionsPanel
) -> None:
    document.apply(lambda d: edits.set_run(d, "r1", buckets=(), return_path=()), "")
    document.select(["r1"])
    assert field(panel, "Fall").isVisible()

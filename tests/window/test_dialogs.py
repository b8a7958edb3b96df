"""The small dialogs: notes and title, repeat, measured parts, help pages."""

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QTextBrowser
from pytestqt.qtbot import QtBot

from designer import __version__
from designer.canvas.document import Document
from designer.model import edits
from designer.model.catalogue import load_catalogue
from designer.model.design import Design
from designer.model.parts import BucketPart
from designer.window.about import PAGES, show_page
from designer.window.dialogs import NotesDialog, RepeatDialog
from designer.window.main_window import MainWindow
from designer.window.measured_part_dialog import MeasuredPartDialog
from designer.window.measured_parts import MeasuredParts


@pytest.fixture
def document(window: MainWindow, bed: Design) -> Document:
    window.files.begin(bed)
    assert window.document is not None
    return window.document


def own_bucket() -> BucketPart:
    pail = load_catalogue().part("pail-5-gal", BucketPart)
    return replace(pail, id="own-bucket-1", name="Blue pail")


def test_title_and_notes_change_in_one_step(window: MainWindow, document: Document) -> None:
    window.actions_by_name["notes"].trigger()
    dialog = window.findChild(NotesDialog)
    dialog.title.line.setText("Back fence")
    dialog.notes.box.setPlainText("Taps off on Sundays")
    dialog.accept()
    assert (document.design.title, document.design.notes) == ("Back fence", "Taps off on Sundays")
    document.undo()
    assert document.design.title == "North bed"
    assert document.history.undo_label is None


def test_a_title_too_long_is_refused_and_the_dialog_stays(
    window: MainWindow, document: Document
) -> None:
    window.actions_by_name["notes"].trigger()
    dialog = window.findChild(NotesDialog)
    dialog.title.line.setText("long " * 40)
    dialog.accept()
    assert dialog.isVisible()
    assert "120" in dialog.title.reason
    assert document.design.title == "North bed"


def test_repeat_reads_pitch_and_times_and_refuses_nonsense(
    qtbot: QtBot, window: MainWindow, document: Document
) -> None:
    dialog = RepeatDialog(600.0, document, window)
    dialog.show()
    dialog.pitch.line.setText("far")
    dialog.accept()
    assert dialog.isVisible()
    assert dialog.pitch.reason
    dialog.pitch.line.setText("1' 6\"")
    dialog.times.line.setText("3")
    dialog.accept()
    assert not dialog.isVisible()
    assert (dialog.pitch.value, dialog.times.value) == (pytest.approx(457.2), 3)


def test_repeat_adds_the_chosen_buckets_again_in_one_step(
    window: MainWindow, document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    document.apply(lambda d: edits.delete(d, ["b1", "b2", "b3", "b4"]), "Delete")
    document.select(["b7", "b8"])
    monkeypatch.setattr(RepeatDialog, "exec", lambda _self: True)
    before = document.design
    window.actions_by_name["repeat"].trigger()
    assert len(document.design.runs[0].buckets) == 6
    document.undo()
    assert document.design == before


def test_a_part_measured_in_the_list_is_kept_in_the_design(
    qtbot: QtBot, window: MainWindow, document: Document
) -> None:
    window.actions_by_name["measured"].trigger()
    dialog = window.findChild(MeasuredParts)
    bucket = next(a for a in dialog.add.menu().actions() if a.text() == "Bucket")
    bucket.trigger()
    form = dialog.findChild(MeasuredPartDialog)
    form.part_made.emit(own_bucket())
    assert document.design.own_parts == (own_bucket(),)
    assert dialog.list.item(0).text() == "Blue pail  (bucket)"
    document.undo()
    assert dialog.list.count() == 0
    assert not dialog.use.isVisible()


def test_a_measured_bucket_can_be_used_for_the_whole_bed_at_once(
    window: MainWindow, document: Document
) -> None:
    document.apply(lambda d: edits.set_bucket(d, "b1", part="pail-5-gal"), "Choose")
    window.actions_by_name["measured"].trigger()
    dialog = window.findChild(MeasuredParts)
    dialog._keep(own_bucket())
    assert "Dimensions" in dialog.kept.text()
    dialog.use.click()
    run = document.design.runs[0]
    assert run.bucket == own_bucket().id
    assert all(bucket.part is None for bucket in run.buckets)
    assert not dialog.use.isVisible()
    assert "the whole bed uses it" in dialog.kept.text()
    document.undo()
    assert dialog.use.isVisible()


def test_a_part_in_use_cannot_be_taken_away_and_says_why(
    window: MainWindow, document: Document
) -> None:
    document.apply(lambda d: edits.keep_own_part(d, own_bucket()), "Measure")
    document.apply(lambda d: edits.set_run(d, "r1", bucket="own-bucket-1"), "Use")
    window.actions_by_name["measured"].trigger()
    dialog = window.findChild(MeasuredParts)
    dialog.list.setCurrentRow(0)
    dialog.drop.click()
    assert "Blue pail is used in the design" in dialog.reason.text()
    assert document.design.own_parts == (own_bucket(),)
    document.undo()
    dialog.list.setCurrentRow(0)
    dialog.drop.click()
    assert document.design.own_parts == ()


@pytest.mark.parametrize("name", PAGES)
def test_every_help_page_opens_with_its_text(qtbot: QtBot, window: MainWindow, name: str) -> None:
    dialog = show_page(name, window)
    text = dialog.findChild(QTextBrowser).toPlainText()
    assert dialog.windowTitle() == PAGES[name][0]
    assert len(text) > 200


def test_about_tells_version_and_licences(window: MainWindow) -> None:
    text = show_page("about", window).findChild(QTextBrowser).toPlainText()
    for words in (__version__, "MIT", "LGPL", "SIL Open Font License"):
        assert words in text


def test_cautions_defer_to_codes_and_licensed_people(window: MainWindow) -> None:
    text = show_page("cautions", window).findChild(QTextBrowser).toPlainText()
    assert "does not replace local codes" in text
    assert "licensed electrician" in text

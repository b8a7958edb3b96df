"""The questions of the start page: answers make a bed, odd answers get a reason."""

import pytest
from PySide6.QtCore import QSettings
from pytestqt.qtbot import QtBot

from designer.analysis import analyse
from designer.model.parts import BucketPart
from designer.window.fields import TypedField
from designer.window.questions import MEASURED, Questions


@pytest.fixture
def questions(qtbot: QtBot) -> Questions:
    settings = QSettings("Rillwright", "Rillwright")
    settings.setValue("units", "metric")
    form = Questions(settings)
    qtbot.addWidget(form)
    form.show()
    return form


def typed(field: TypedField, text: str) -> None:
    field.line.setText(text)
    field.finish()


def chosen(field, value: object) -> None:
    field.show_value(value)
    field.entered.emit(value)


def test_the_first_answers_make_a_bed_in_which_every_check_is_good(questions: Questions) -> None:
    design = questions.finish()
    assert design is not None
    assert sum(len(run.buckets) for run in design.runs) == 8
    assert analyse(design).counts["must_fix"] == 0


def test_the_number_of_buckets_crop_and_title_are_taken_up(questions: Questions) -> None:
    typed(questions.title, "Back fence")
    typed(questions.count, "5")
    chosen(questions.crop, "squash")
    design = questions.finish()
    assert design is not None
    assert (design.title, design.runs[0].crop) == ("Back fence", "squash")
    assert sum(len(run.buckets) for run in design.runs) == 5


def test_a_length_of_space_is_filled_and_not_exceeded(questions: Questions) -> None:
    chosen(questions.by, "length")
    assert questions.length.isVisible()
    assert not questions.count.isVisible()
    typed(questions.length, "3 m")
    design = questions.finish()
    assert design is not None
    assert 1500 < design.runs[0].length <= 3000


def test_a_measured_bucket_comes_into_the_design_with_its_sizes(questions: Questions) -> None:
    chosen(questions.bucket, MEASURED)
    for name, text in (("rim_diameter", "298"), ("base_diameter", "255"), ("height", "36 cm")):
        typed(questions.sizes[name], text)
    design = questions.finish()
    assert design is not None
    (part,) = design.own_parts
    assert isinstance(part, BucketPart)
    assert (part.rim_diameter, part.base_diameter, part.height) == (298.0, 255.0, 360.0)
    assert part.base_diameter < part.top_diameter < part.rim_diameter
    assert design.runs[0].bucket == part.id


def test_sizes_not_yet_measured_are_asked_for(questions: Questions) -> None:
    chosen(questions.bucket, MEASURED)
    assert all(field.isVisible() for field in questions.sizes.values())
    assert questions.design is None
    assert "Measure your bucket" in questions.problem


@pytest.mark.parametrize(
    ("name", "text", "reason"),
    [
        ("rim_diameter", "30", "must be at least 120 mm"),
        ("rim_diameter", "3 m", "must be at most 800 mm"),
        ("height", "5000", "must be at most"),
        ("base_diameter", "wide", ""),
    ],
)
def test_a_size_no_bucket_has_is_refused_with_the_reason(
    questions: Questions, name: str, text: str, reason: str
) -> None:
    chosen(questions.bucket, MEASURED)
    typed(questions.sizes[name], text)
    assert questions.sizes[name].reason
    assert reason in questions.sizes[name].reason


def test_a_bucket_wider_below_than_above_is_refused(questions: Questions) -> None:
    chosen(questions.bucket, MEASURED)
    for name, text in (("rim_diameter", "250"), ("base_diameter", "300"), ("height", "350")):
        typed(questions.sizes[name], text)
    assert questions.finish() is None
    assert questions.problem == "The base cannot be wider than the top."


def test_a_space_too_short_for_a_bucket_says_so(questions: Questions) -> None:
    chosen(questions.by, "length")
    typed(questions.length, "400")
    assert questions.finish() is None
    assert "too short" in questions.problem


def test_feet_and_inches_are_read_once_chosen(questions: Questions) -> None:
    chosen(questions.units, "imperial")
    chosen(questions.by, "length")
    typed(questions.length, "12'")
    assert questions.length.value == pytest.approx(3657.6)
    design = questions.finish()
    assert design is not None
    assert design.units == "imperial"


def test_other_units_bring_what_is_usual_with_them_for_what_was_left_alone(
    questions: Questions,
) -> None:
    chosen(questions.crop, "pepper")
    chosen(questions.bucket, "bucket-10-l")
    chosen(questions.units, "imperial")
    assert questions.length.line.text() == "10' 0\""
    assert questions.paper.value == "letter"
    assert questions.bucket.value == "bucket-10-l"
    chosen(questions.units, "metric")
    assert (questions.length.value, questions.paper.value) == (3000.0, "a4")


def test_units_and_paper_are_remembered_for_the_next_bed(questions: Questions) -> None:
    chosen(questions.units, "imperial")
    chosen(questions.paper, "letter")
    questions.finish()
    again = Questions(QSettings("Rillwright", "Rillwright"))
    assert (again.units.value, again.paper.value) == ("imperial", "letter")


def test_every_question_has_a_name_for_a_screen_reader(questions: Questions) -> None:
    assert all(field.entry.accessibleName() for field in questions.fields)

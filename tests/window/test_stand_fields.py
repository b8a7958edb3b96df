"""The stand in the Dimensions panel: what is typed of it, and what is told of it."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from designer.analysis import WORKING, Analysis, analyse, with_stands
from designer.canvas.document import Document
from designer.model import edits
from designer.model.design import Design, Stand
from designer.units import UnitSystem
from designer.window import stand_facts
from designer.window.choice_fields import ChoiceField
from designer.window.dimensions import DimensionsPanel
from designer.window.fields import TypedField
from designer.window.main_window import MainWindow
from designer.window.sections import SectionBox
from tests.beds import bed as sketched
from tests.window.conftest import Asked

FACTS = [
    stand_facts.GRADE,
    stand_facts.WET_BUCKET,
    stand_facts.BENDING,
    stand_facts.SAG,
    stand_facts.SOIL,
    stand_facts.SUPPORTS,
    stand_facts.FALL_AS_BUILT,
]


@pytest.fixture
def document(qapp: object) -> Document:
    return Document(sketched(6))


@pytest.fixture
def panel(document: Document, qtbot: QtBot) -> DimensionsPanel:
    shown = DimensionsPanel(document)
    qtbot.addWidget(shown)
    shown.resize(340, 900)
    shown.show()
    document.select(["r1"])
    box(shown).heading.setChecked(True)
    return shown


def box(panel: DimensionsPanel) -> SectionBox:
    assert panel.form is not None
    return panel.form.boxes["Stand"]


def field(panel: DimensionsPanel, label: str) -> TypedField:
    assert panel.form is not None
    found = panel.form.field(label)
    assert isinstance(found, TypedField)
    return found


def enter(qtbot: QtBot, shown: TypedField, text: str) -> None:
    shown.line.setFocus()
    qtbot.keyClick(shown.line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(shown.line, Qt.Key.Key_Delete)
    qtbot.keyClicks(shown.line, text)
    qtbot.keyClick(shown.line, Qt.Key.Key_Return)


def stand(document: Document) -> Stand:
    return document.design.runs[0].stand


def solved(units: UnitSystem = "metric", **values: object) -> Analysis:
    return with_stands(analyse(edits.set_run_part(sketched(6, units), "r1", "stand", **values)))


def test_ground_is_typed_for_each_support_and_may_be_lower(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    count = len(stand(document).supports)
    ground = field(panel, "Ground at each support")
    assert ground.line.text() == "; ".join(["0 mm"] * count)
    levels = tuple(-20.0 * i for i in range(count))
    enter(qtbot, ground, "; ".join(str(level) for level in levels))
    assert stand(document).ground == levels
    assert document.history.undo_label == "Set the ground at the supports"
    enter(qtbot, ground, "; ".join(["0"] * count))
    assert stand(document).ground == ()


def test_too_few_levels_are_refused_with_how_many_are_wanted(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    count = len(stand(document).supports)
    ground = field(panel, "Ground at each support")
    enter(qtbot, ground, "10")
    assert ground.reason.startswith(f"Type {count} levels")
    assert stand(document).ground == ()


def test_new_supports_keep_the_ground_that_is_known(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    length = document.design.runs[0].length
    document.apply(
        lambda d: edits.set_run_part(
            d, "r1", "stand", supports=(0.0, length), ground=(0.0, -100.0)
        ),
        "",
    )
    enter(qtbot, field(panel, "Number of supports"), "3")
    assert stand(document).ground == (0.0, -50.0, -100.0)


def test_a_weighed_bucket_can_be_typed_in_pounds_and_taken_back(
    document: Document, panel: DimensionsPanel, qtbot: QtBot
) -> None:
    weight = field(panel, "Wet bucket as weighed")
    assert weight.line.placeholderText() == "reckoned"
    document.apply(lambda d: edits.set_design(d, units="imperial"), "")
    enter(qtbot, weight, "40 lb")
    assert stand(document).bucket_weight == pytest.approx(18.1437, abs=1e-4)
    enter(qtbot, weight, "")
    assert stand(document).bucket_weight is None


@pytest.mark.parametrize(
    ("label", "name"), [("A person leaning on the rims", "pull"), ("Wind on the trellis", "wind")]
)
def test_forces_are_typed_in_newtons(
    document: Document, panel: DimensionsPanel, qtbot: QtBot, label: str, name: str
) -> None:
    enter(qtbot, field(panel, label), "150 N")
    assert getattr(stand(document), name) == 150.0


def test_grade_and_soil_are_chosen(document: Document, panel: DimensionsPanel) -> None:
    assert panel.form is not None
    for label, value in (("Timber of the rails", "c24"), ("Soil under the blocks", "clay")):
        chosen = panel.form.field(label)
        assert isinstance(chosen, ChoiceField)
        chosen.entered.emit(value)
    assert (stand(document).timber, stand(document).soil) == ("c24", "clay")


def test_every_field_of_the_stand_says_what_it_is_for(panel: DimensionsPanel) -> None:
    assert panel.form is not None
    for owner, line, shown in panel.form.lines:
        if owner is box(panel):
            assert shown.toolTip(), line.label


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_facts_are_told_in_the_persons_units(units: UnitSystem) -> None:
    analysis = solved(units)
    told = {fact.label: fact.text(analysis, "r1") for fact in FACTS}
    weight, pressure = ("kg", "kPa") if units == "metric" else ("lb", "lb/ft²")
    assert weight in told["Heaviest wet bucket"]
    assert told["Pressure on the soil"].count(pressure) == 2
    assert "after years" in told["Sag of the rails"]
    assert "%" in told["Bending of the rails"]
    schedule = told["Blocks and shims, from the outlet end"].splitlines()
    assert len(schedule) == len(analysis.run("r1").shims)
    assert "no shim" in schedule[0]
    assert all("block" in line and "under the drain" in line for line in schedule[1:])


def test_a_weighed_bucket_is_told_as_weighed() -> None:
    assert stand_facts.WET_BUCKET.text(solved(bucket_weight=21.0), "r1") == "21 kg, as weighed"


def test_uneven_ground_shows_in_the_stacks() -> None:
    level = stand_facts.SUPPORTS.text(solved(), "r1").splitlines()
    count = len(level)
    lower = stand_facts.SUPPORTS.text(solved(ground=(0.0, *[-30.0] * (count - 1))), "r1")
    assert lower.splitlines()[0] == level[0]
    assert all(a != b for a, b in zip(lower.splitlines()[1:], level[1:], strict=True))


def test_while_the_stand_is_worked_out_the_facts_say_so() -> None:
    analysis = analyse(sketched(6))
    assert {fact.text(analysis, "r1") for fact in FACTS} == {WORKING}


def test_the_view_menu_shows_the_sag_and_a_new_design_starts_without_it(
    window: MainWindow, bed: Design, asked: Asked
) -> None:
    window.files.begin(bed)
    action = window.actions_by_name["sag"]
    assert window.sheet is not None
    assert not window.sheet.sag_shown
    action.trigger()
    assert window.sheet.sag_shown
    asked.unsaved = "drop"
    window.close_design()
    window.files.begin(bed)
    assert not window.sheet.sag_shown
    assert not window.actions_by_name["sag"].isChecked()

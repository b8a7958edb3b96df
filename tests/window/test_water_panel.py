"""The Water panel: current or plainly not, charts, the day, fields, remedies, and the window."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTabBar
from pytestqt.qtbot import QtBot

from designer.canvas import water_work
from designer.canvas.document import TROUBLE, Document
from designer.checks.finding import Finding
from designer.model import edits
from designer.model.design import Design
from designer.model.parts import PumpPart, PumpPoint
from designer.sketch import Answers, sketch
from designer.window.checks_panel import ChecksPanel
from designer.window.dimensions import DimensionsPanel
from designer.window.fields import Field, TypedField
from designer.window.main_window import MainWindow
from designer.window.measured_part_dialog import MeasuredPartDialog
from designer.window.sections import FactLine
from designer.window.water_charts import CHARTS
from designer.window.water_numbers import time_text
from designer.window.water_panel import CURRENT, FIRST, NEEDS, NOTHING, WAITING, WaterPanel


@pytest.fixture
def document(qapp: object) -> Document:
    return Document(sketch(Answers(title="North bed", buckets=6, units="metric")))


@pytest.fixture
def panel(document: Document, qtbot: QtBot) -> WaterPanel:
    shown = WaterPanel(document)
    qtbot.addWidget(shown)
    shown.resize(320, 700)
    shown.show()
    qtbot.waitUntil(lambda: shown.current)
    return shown


def numbers(panel: WaterPanel) -> dict[str, FactLine]:
    lines = [line for _, _, line in panel.numbers.lines if isinstance(line, FactLine)]
    return {line.fact.label: line for line in lines}


def text(panel: WaterPanel, label: str) -> str:
    return numbers(panel)[label].value.text()


def field(panel: WaterPanel | DimensionsPanel, label: str) -> Field:
    form = panel.fields if isinstance(panel, WaterPanel) else panel.form
    assert form is not None
    for box in form.boxes.values():
        box.heading.setChecked(True)
    return form.field(label)


def type_in(qtbot: QtBot, panel: WaterPanel | DimensionsPanel, label: str, typed: str) -> Field:
    found = field(panel, label)
    assert isinstance(found, TypedField)
    found.line.setFocus()
    qtbot.keyClick(found.line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(found.line, Qt.Key.Key_Backspace)
    qtbot.keyClicks(found.line, typed)
    qtbot.keyClick(found.line, Qt.Key.Key_Return)
    return found


def move(document: Document, by: float = 25.0) -> None:
    document.apply(lambda design: edits.move_buckets(design, ["b1"], by), "Move")


def charts_page(panel: WaterPanel, name: str) -> None:
    panel.tabs.setCurrentWidget(panel.charts)
    panel.charts.choose(name)


# --- current, or not ----------------------------------------------------------------------------


def test_until_the_first_water_comes_the_panel_says_it_is_being_worked_out(
    document: Document, qtbot: QtBot
) -> None:
    panel = WaterPanel(document)
    qtbot.addWidget(panel)
    assert not panel.current
    assert panel.status.text() == FIRST
    assert text(panel, "Pump gives") == ""
    qtbot.waitUntil(lambda: panel.current)
    assert panel.status.text() == CURRENT
    assert "L/h" in text(panel, "Pump gives")


def test_an_edit_makes_the_old_numbers_pale_before_anything_else_happens(
    document: Document, panel: WaterPanel, qtbot: QtBot
) -> None:
    charts_page(panel, "flows")
    qtbot.waitUntil(lambda: panel.charts.view.drawn and not panel.charts.view.old)
    move(document)
    assert not panel.current
    assert panel.status.text() == WAITING
    assert not any(line.isEnabled() for line in numbers(panel).values())
    assert panel.charts.view.old == "Being worked out…"
    qtbot.waitUntil(lambda: panel.current)
    assert panel.status.text() == CURRENT
    assert all(line.isEnabled() for line in numbers(panel).values())
    assert panel.charts.view.old == ""


def test_the_numbers_are_those_of_the_solved_water(document: Document, panel: WaterPanel) -> None:
    water = document.analysis.water
    assert water is not None
    feed, store = water.feed, water.reservoir
    assert text(panel, "Pump gives").startswith(f"{feed.flow:.0f} L/h")
    assert text(panel, "At a head of").startswith(f"{feed.head:.2f} m")
    least = min(feed.flows, key=lambda i: feed.flows[i])
    assert text(panel, "Least to a bucket").endswith(
        f"L/h to {document.analysis.bucket_label(least)}"
    )
    assert text(panel, "Emission uniformity (EU)") == f"{feed.emission_uniformity:.0f} %"
    assert text(panel, "Christiansen uniformity (CU)") == f"{feed.christiansen:.0f} %"
    assert text(panel, "Drain at its fullest").startswith(f"{water.drains['r1'].fullest[1]:.0%}")
    assert text(panel, "Left below the rim then") == f"{store.freeboard:.0f} mm"
    assert text(panel, "Power in a month").startswith(f"{store.energy.kilowatt_hours:.1f} kWh")
    assert all(line.toolTip() for line in numbers(panel).values())


def test_the_numbers_follow_the_units(document: Document, panel: WaterPanel, qtbot: QtBot) -> None:
    document.apply(lambda design: edits.set_design(design, units="imperial"), "Units")
    qtbot.waitUntil(lambda: panel.current)
    assert "gal/h" in text(panel, "Pump gives")
    assert " ft" in text(panel, "At a head of")
    field(panel, "Water's temperature")
    assert field(panel, "Water's temperature").entry.text() == "68 °F"
    type_in(qtbot, panel, "Water's temperature", "77")
    assert document.design.water.temperature == pytest.approx(25.0)


def test_without_a_reservoir_the_panel_says_what_is_needed(
    document: Document, panel: WaterPanel, qtbot: QtBot
) -> None:
    charts_page(panel, "pump")
    document.apply(lambda design: edits.delete(design, ["reservoir"]), "Delete")
    qtbot.waitUntil(lambda: document.analysis.water_current)
    assert panel.status.text() == NEEDS
    assert {line.value.text() for line in numbers(panel).values()} == {NOTHING}
    assert "reservoir" in panel.charts.view.old
    document.undo()
    qtbot.waitUntil(lambda: panel.current)
    assert text(panel, "Pump gives") != NOTHING


def test_a_failure_is_one_sentence_and_no_number_stays(
    document: Document, panel: WaterPanel, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(_: object) -> object:
        raise ArithmeticError

    monkeypatch.setattr(water_work, "completed", fails)
    charts_page(panel, "pump")
    move(document)
    qtbot.waitUntil(lambda: panel.status.text() == TROUBLE)
    assert {line.value.text() for line in numbers(panel).values()} == {NOTHING}
    assert panel.charts.view.old == TROUBLE


def test_a_pump_that_cannot_lift_gives_no_numbers_of_flow(
    document: Document, panel: WaterPanel, qtbot: QtBot
) -> None:
    document.apply(lambda design: edits.set_run_part(design, "r1", "stand", height=3000.0), "Raise")
    qtbot.waitUntil(lambda: panel.current)
    assert text(panel, "Pump gives") == "no water comes out"
    assert text(panel, "Emission uniformity (EU)") == "no water comes out"


# --- charts and the day -------------------------------------------------------------------------


@pytest.mark.parametrize("name", [name for name, _, _ in CHARTS])
def test_every_chart_is_drawn_and_has_a_name(
    panel: WaterPanel, document: Document, qtbot: QtBot, name: str
) -> None:
    charts_page(panel, name)
    view = panel.charts.view
    qtbot.waitUntil(lambda: view.drawn and not view.old, timeout=20_000)
    assert view.accessibleDescription() == panel.charts.choice.currentText()
    assert panel.charts.day.isVisible() == (name == "day")
    picture = view.grab().toImage()
    colours = {picture.pixel(x, y) for x in range(0, view.width(), 3) for y in range(0, 200, 3)}
    assert len(colours) > 5


def test_the_day_is_worked_out_only_while_it_is_looked_at(
    panel: WaterPanel, document: Document, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: document._work.idle)
    assert not document.day_known
    charts_page(panel, "day")
    assert panel.charts.view.old == "Being worked out…"
    assert not panel.charts.day.isEnabled()
    qtbot.waitUntil(lambda: document.day_known, timeout=20_000)
    assert panel.charts.view.old == ""
    assert panel.charts.day.isEnabled()
    panel.hide()
    move(document)
    qtbot.waitUntil(lambda: document.analysis.water_current and document._work.idle)
    assert not document.day_known


def test_the_time_is_told_only_while_the_day_is_looked_at(
    panel: WaterPanel, document: Document, qtbot: QtBot
) -> None:
    told: list[object] = []
    panel.time_asked.connect(told.append)
    charts_page(panel, "day")
    qtbot.waitUntil(lambda: document.day_known, timeout=20_000)
    panel.charts.day.slider.setValue(720)
    assert told[-1] == 6 * 3600.0
    assert panel.charts.day.time.text().startswith("06:00 pump on")
    assert panel.on_sheet.isChecked(), "who moves the time wants to see it"
    charts_page(panel, "pump")
    assert told[-1] is None


def test_the_day_plays_and_pauses_and_stops_at_midnight(
    panel: WaterPanel, document: Document, qtbot: QtBot
) -> None:
    charts_page(panel, "day")
    qtbot.waitUntil(lambda: document.day_known, timeout=20_000)
    day = panel.charts.day
    qtbot.mouseClick(day.play, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: day.seconds > 0)
    qtbot.mouseClick(day.play, Qt.MouseButton.LeftButton)
    still = day.seconds
    qtbot.wait(120)
    assert day.seconds == still
    assert day.play.text() == "Play"
    day.slider.setValue(day.slider.maximum() - 1)
    day.play.click()
    qtbot.waitUntil(lambda: not day.play.isChecked())
    assert day.seconds == 24 * 3600


# --- fields -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("label", "name", "typed", "value"),
    [
        ("Pump on", "on_minutes", "20", 20.0),
        ("Pump off", "off_minutes", "30 min", 30.0),
        ("Hot day's evaporation (ETo)", "evapotranspiration", "6,5", 6.5),
        ("Use of each plant", "plant_use", "2.5 L a day", 2.5),
        ("Least uniformity", "target_uniformity", "90 %", 90.0),
        ("Days between top-ups", "top_up_days", "3", 3.0),
        ("Hours without the pump", "reserve_hours", "6 h", 6.0),
        ("Price of power", "energy_price", "0.45", 0.45),
        ("Water's temperature", "temperature", "12 °C", 12.0),
        ("Manning's n", "manning_n", "0.013", 0.013),
    ],
)
def test_a_typed_field_is_one_undo_step_and_new_water_comes(
    panel: WaterPanel, document: Document, qtbot: QtBot, label: str, name: str, typed: str,
    value: float,
) -> None:  # fmt: skip
    before = document.design
    panel.tabs.setCurrentIndex(2)
    type_in(qtbot, panel, label, typed)
    assert getattr(document.design.water, name) == pytest.approx(value)
    assert not panel.current
    qtbot.waitUntil(lambda: panel.current)
    document.undo()
    assert document.design == before
    assert document.history.undo_label is None


@pytest.mark.parametrize(
    ("label", "typed", "word"),
    [
        ("Pump on", "0", "more than 0"),
        ("Pump on", "soon", "Type a number"),
        ("Least uniformity", "120", "at most 99 %"),
        ("Water's temperature", "55", "at most 40 °C"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    panel: WaterPanel, document: Document, qtbot: QtBot, label: str, typed: str, word: str
) -> None:
    before = document.design
    panel.tabs.setCurrentIndex(2)
    refused = type_in(qtbot, panel, label, typed)
    assert word in refused.reason
    assert document.design is before


def test_an_empty_use_of_plants_is_reckoned_again(
    panel: WaterPanel, document: Document, qtbot: QtBot
) -> None:
    panel.tabs.setCurrentIndex(2)
    found = type_in(qtbot, panel, "Use of each plant", "2")
    assert document.design.water.plant_use == 2.0
    type_in(qtbot, panel, "Use of each plant", "")
    assert document.design.water.plant_use is None
    assert isinstance(found, TypedField)
    assert found.line.placeholderText() == "reckoned"


def test_every_field_says_what_it_means(panel: WaterPanel) -> None:
    assert all(len(found.why) > 20 for found in panel.fields.fields())


def test_valves_tubes_and_feeds_are_typed_in_the_dimensions(
    document: Document, qtbot: QtBot
) -> None:
    panel = DimensionsPanel(document)
    qtbot.addWidget(panel)
    panel.show()
    document.select(["r1"])
    type_in(qtbot, panel, "Valve at the head of the run", "60 %")
    type_in(qtbot, panel, "Length of a feed tube", "40 cm")
    field(panel, "End of a feed tube").entered.emit("emitter-4-l-h")
    manifold = document.design.runs[0].manifold
    assert manifold.valve == pytest.approx(0.6)
    assert manifold.feed_length == 400.0
    assert manifold.emitter == "emitter-4-l-h"
    refused = type_in(qtbot, panel, "Valve at the head of the run", "0")
    assert "at least 1 %" in refused.reason
    document.select(["reservoir"])
    type_in(qtbot, panel, "Valve straight back", "25")
    field(panel, "Air hole in the feed").entered.emit(False)
    assert document.design.reservoir is not None
    assert document.design.reservoir.bypass == pytest.approx(0.25)
    assert document.design.reservoir.siphon_break is False
    document.select(["b2"])
    field(panel, "Feed").entered.emit("tied_off")
    assert next(b for b in document.design.runs[0].buckets if b.id == "b2").feed == "tied_off"


# --- a measured pump's curve --------------------------------------------------------------------


def pump(document: Document, curve: tuple[PumpPoint, ...]) -> PumpPart:
    assert document.analysis.reservoir is not None
    return replace(document.analysis.reservoir.pump, id="own-pump-1", name="Mine", curve=curve)


def test_a_pump_measured_again_keeps_its_curve(document: Document, qtbot: QtBot) -> None:
    again = pump(document, (PumpPoint(100.0, 0.9), PumpPoint(200.0, 0.5)))
    dialog = MeasuredPartDialog("pump", document.analysis.catalogue, "metric", again=again)
    qtbot.addWidget(dialog)
    made: list[PumpPart] = []
    dialog.part_made.connect(made.append)
    curve = dialog.fields["curve"]
    assert isinstance(curve, TypedField)
    assert curve.line.text() == "100 L/h at 0.9 m; 200 L/h at 0.5 m"
    dialog._save()
    assert made == [again]


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("100 0.9", "a flow at a height"),
        ("many at 0.9", "Type a number"),
        ("100 at 0.5; 200 at 0.9", "lifts higher gives less"),
        ("100 at 900", "at most 100 m"),
        ("100000 at 0.1", "beyond the greatest"),
    ],
)
def test_a_curve_that_cannot_be_is_refused(
    document: Document, qtbot: QtBot, typed: str, reason: str
) -> None:
    dialog = MeasuredPartDialog(
        "pump", document.analysis.catalogue, "metric", again=pump(document, ())
    )
    qtbot.addWidget(dialog)
    made: list[PumpPart] = []
    dialog.part_made.connect(made.append)
    curve = dialog.fields["curve"]
    assert isinstance(curve, TypedField)
    curve.line.setText(typed)
    dialog._save()
    assert made == []
    assert reason in (curve.reason or dialog.problem.text())


def test_a_typed_curve_is_read_in_the_persons_units(document: Document, qtbot: QtBot) -> None:
    dialog = MeasuredPartDialog(
        "pump", document.analysis.catalogue, "imperial", again=pump(document, ())
    )
    qtbot.addWidget(dialog)
    made: list[PumpPart] = []
    dialog.part_made.connect(made.append)
    curve = dialog.fields["curve"]
    assert isinstance(curve, TypedField)
    curve.line.setText("20 gal/h at 1 ft; 10 at 2 ft")
    dialog._save()
    first, second = made[0].curve
    assert (first.flow, first.head) == pytest.approx((37.854, 0.6096), rel=1e-4)
    assert (second.flow, second.head) == pytest.approx((75.708, 0.3048), rel=1e-4)


# --- checks and the window ----------------------------------------------------------------------


def finding(document: Document, rule: str) -> Finding:
    return next(f for f in document.analysis.findings if f.rule == rule)


def test_a_remedy_of_the_water_mends_its_finding_in_one_step(
    document: Document, qtbot: QtBot
) -> None:
    checks = ChecksPanel(document)
    qtbot.addWidget(checks)
    document.apply(lambda design: edits.set_run_part(design, "r1", "stand", height=1000.0), "Raise")
    raised = document.design
    qtbot.waitUntil(lambda: document.analysis.water_current)
    low = finding(document, "pump-lifts")
    assert low.state == "must_fix"
    checks._do(low.remedies[0])
    assert finding(document, "pump-lifts").measured == "being worked out again"
    assert finding(document, "pump-lifts").remedies == ()
    qtbot.waitUntil(lambda: document.analysis.water_current)
    assert finding(document, "pump-lifts").state == "good"
    document.undo()
    assert document.design == raised


def test_a_remedy_on_trial_shows_its_water_and_is_dropped_again(
    document: Document, qtbot: QtBot
) -> None:
    checks = ChecksPanel(document)
    qtbot.addWidget(checks)
    document.apply(lambda design: edits.set_run_part(design, "r1", "stand", height=1000.0), "Raise")
    qtbot.waitUntil(lambda: document.analysis.water_current)
    checks._try(finding(document, "pump-lifts").remedies[0])
    assert checks.card.trying.text() == "On trial: water and stand are being worked out"
    qtbot.waitUntil(lambda: document.analysis.water_current)
    assert finding(document, "pump-lifts").state == "good"
    assert checks.card.trying.text().startswith("On trial: Must fix 1 → 0")
    checks._stop_trying()
    qtbot.waitUntil(lambda: document.analysis.water_current)
    assert finding(document, "pump-lifts").state == "must_fix"


def test_the_window_has_the_panel_beside_the_checks_and_its_menu_entry(
    window: MainWindow, bed: Design, qtbot: QtBot
) -> None:
    window.files.begin(bed)
    checks, water = window.docks["checks"], window.docks["water"]
    assert water in window.tabifiedDockWidgets(checks)
    water.raise_()
    qtbot.waitUntil(lambda: water.widget().isEnabled())
    panel = water.widget()
    assert isinstance(panel, WaterPanel)
    assert window.sheet is not None
    action = window.actions_by_name["water"]
    action.trigger()
    assert window.sheet.water_shown
    assert panel.on_sheet.isChecked()
    panel.on_sheet.click()
    assert not window.sheet.water_shown
    assert not action.isChecked()


def test_the_slider_moves_the_water_on_the_sheet(
    window: MainWindow, bed: Design, qtbot: QtBot
) -> None:
    window.files.begin(bed)
    window.docks["water"].raise_()
    panel, sheet = window.docks["water"].widget(), window.sheet
    assert isinstance(panel, WaterPanel)
    assert sheet is not None
    charts_page(panel, "day")
    assert window.document is not None
    document = window.document
    qtbot.waitUntil(lambda: document.day_known, timeout=20_000)
    levels = []
    for value in (720, 2160):
        panel.charts.day.slider.setValue(value)
        assert sheet.water_time == value * 30
        kept = sheet.panes["elevation"]._kept["water:elev:reservoir"]
        levels.append(kept.records)
    assert levels[0] != levels[1]


def test_no_empty_bar_of_tabs_stays_over_the_panels(
    window: MainWindow, bed: Design, qtbot: QtBot
) -> None:
    def on_show() -> int:
        bars = [bar for bar in window.findChildren(QTabBar) if bar.parent() is window]
        return sum(b.isVisible() and window.rect().intersects(b.geometry()) for b in bars)

    for _ in range(3):
        window.files.begin(bed)
        qtbot.waitUntil(lambda: on_show() > 0)
        qtbot.wait(50)
        assert on_show() == 1
        assert window.document is not None
        window.document.history.mark_saved()
        window.new()


def test_a_window_closes_while_the_water_is_worked_out(
    window: MainWindow, bed: Design, qtbot: QtBot
) -> None:
    window.files.begin(bed)
    assert window.document is not None
    document = window.document
    work = document._work
    window.docks["water"].raise_()
    document.want_day(True)
    qtbot.waitUntil(lambda: work._running is not None)
    document.history.mark_saved()
    window.close()
    assert work.idle
    assert not any(thread.is_alive() for thread in work._thread._threads)


# --- answers in plain words -----------------------------------------------------------------------


def test_the_two_questions_are_answered_with_the_numbers(
    document: Document, panel: WaterPanel, qtbot: QtBot
) -> None:
    feed = document.analysis.water.feed  # type: ignore[union-attr]
    assert panel.answers.share.text() == (
        f"Yes: every bucket gets {min(feed.open_flows):.1f} to {max(feed.open_flows):.1f} L/h, "
        f"{feed.emission_uniformity:.0f} % even."
    )
    assert panel.answers.back.text().startswith("Yes: the drain is ")
    assert "below the rim" in panel.answers.back.text()
    document.apply(lambda d: edits.set_water(d, target_uniformity=99.9), "")
    assert not panel.answers.isEnabled()
    qtbot.waitUntil(lambda: panel.current)
    assert panel.answers.share.text().startswith("No: the buckets get ")
    assert panel.answers.share.text().endswith("you want 99.9 %.")


def test_a_drain_that_spills_is_answered_with_no(
    document: Document, panel: WaterPanel, qtbot: QtBot
) -> None:
    document.apply(lambda d: edits.set_reservoir(d, sunk=0.0, freeboard=20.0), "")
    qtbot.waitUntil(lambda: panel.current)
    assert panel.answers.back.text().startswith("No: ")


def test_a_pump_too_weak_is_answered_with_no(
    document: Document, panel: WaterPanel, qtbot: QtBot
) -> None:
    document.apply(lambda d: edits.set_run_part(d, "r1", "stand", height=3000.0), "")
    qtbot.waitUntil(lambda: panel.current)
    assert panel.answers.share.text() == "No: no water comes out."


def test_the_price_of_power_names_no_money(panel: WaterPanel) -> None:
    assert text(panel, "Power in a month").endswith(" a month at the price you typed")


def test_every_chart_is_seen_whole_in_a_small_window(
    window: MainWindow, bed: Design, qtbot: QtBot
) -> None:
    window.resize(1366, 700)
    window.files.begin(bed)
    window.docks["water"].raise_()
    panel = window.docks["water"].widget()
    for name, *_ in CHARTS:
        charts_page(panel, name)
        qtbot.wait(50)
        view = panel.charts.view
        assert view.height() <= view.parentWidget().height(), name


@pytest.mark.parametrize(
    ("hours", "words"),
    [(41 / 3600, "41 s"), (3 / 60, "3 min"), (1.5, "90 min"), (9.5, "9.5 h"), (72.0, "3.0 days")],
)
def test_a_span_of_time_is_told_in_the_unit_that_shows_it(hours: float, words: str) -> None:
    assert time_text(hours) == words

"""The water of the open design: it comes after each edit, and nothing old passes for current."""

import gc
import threading
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from designer.analysis import Analysis
from designer.canvas import water_work
from designer.canvas.document import TROUBLE, Document
from designer.model import edits
from designer.model.design import Design
from designer.sketch import Answers, sketch

PENDING = "being worked out again"


@pytest.fixture
def document(qapp: object) -> Iterator[Document]:
    made = Document(sketch(Answers(buckets=6)))
    yield made
    made.close()


def current(document: Document) -> bool:
    return document.analysis.water_current


def longer_on(design: Design) -> Design:
    return edits.set_water(design, on_minutes=design.water.on_minutes + 5)


def move(document: Document, by: float) -> None:
    document.apply(lambda design: edits.move_buckets(design, ["b1"], by), "Move")


def test_a_design_that_is_opened_gets_its_water(document: Document, qtbot: QtBot) -> None:
    assert not current(document)
    assert document.analysis.water is None
    with qtbot.waitSignal(document.changed):
        pass
    assert current(document)
    assert document.analysis.water is not None
    assert {f.rule for f in document.analysis.water_findings} >= {"pump-lifts", "uniformity"}


def test_after_an_edit_the_old_water_is_gone_at_once_and_new_water_comes(
    document: Document, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: current(document))
    before = document.analysis.water
    move(document, 25.0)
    assert not current(document)
    assert document.analysis.water is None
    assert {f.measured for f in document.analysis.water_findings} == {PENDING}
    qtbot.waitUntil(lambda: current(document))
    after = document.analysis.water
    assert after is not None
    assert after is not before
    assert after.design is document.design
    assert PENDING not in {f.measured for f in document.analysis.findings}


def test_an_edit_that_the_water_does_not_feel_keeps_it(document: Document, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: current(document))
    before = document.analysis.water
    document.apply(lambda design: edits.set_design(design, title="Back fence"), "Name it")
    assert current(document)
    assert document.analysis.water is before


def test_only_the_last_of_many_edits_is_worked_out(
    document: Document, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.waitUntil(lambda: current(document))
    solved: list[Analysis] = []
    solve = water_work.completed

    def counted(analysis: Analysis) -> Analysis:
        solved.append(analysis)
        return solve(analysis)

    monkeypatch.setattr(water_work, "completed", counted)
    for step in range(20):
        document.preview(edits.move_buckets(document.committed, ["b1"], float(step + 1)))
    last = document.analysis
    qtbot.waitUntil(lambda: current(document))
    assert solved == [last]


def test_water_that_comes_for_an_older_draft_is_not_shown(
    document: Document, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.waitUntil(lambda: current(document))
    go, begun = threading.Event(), threading.Event()
    solve = water_work.completed

    def held_up(analysis: Analysis) -> Analysis:
        begun.set()
        go.wait(20)
        return solve(analysis)

    monkeypatch.setattr(water_work, "completed", held_up)
    move(document, 10.0)
    qtbot.waitUntil(begun.is_set)
    move(document, 10.0)
    shown: list[bool] = []
    document.changed.connect(lambda: shown.append(document.analysis.water is not None))
    newest = document.design
    go.set()
    qtbot.waitUntil(lambda: current(document))
    assert document.analysis.water is not None
    assert document.analysis.water.design is newest
    assert shown == [True]


def test_the_day_is_worked_out_only_when_it_is_wanted(document: Document, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: current(document))
    assert not document.day_known
    with qtbot.waitSignal(document.day_came, timeout=20_000):
        document.want_day(True)
    assert document.day_known
    document.apply(longer_on, "Longer")
    assert not document.day_known
    qtbot.waitUntil(lambda: document.day_known, timeout=20_000)
    document.want_day(False)
    document.apply(longer_on, "Longer")
    qtbot.waitUntil(lambda: current(document) and document._work.idle)
    assert not document.day_known


def test_water_that_cannot_be_solved_is_said_in_one_sentence_and_found(
    document: Document, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.waitUntil(lambda: current(document))
    solve = water_work.completed

    def fails(_: Analysis) -> Analysis:
        raise ArithmeticError("the search did not end")

    monkeypatch.setattr(water_work, "completed", fails)
    move(document, 10.0)
    qtbot.waitUntil(lambda: bool(document.water_trouble))
    assert document.water_trouble == TROUBLE
    assert not current(document)
    assert [f.rule for f in document.analysis.water_findings] == ["water-solved"]
    assert PENDING not in {f.measured for f in document.analysis.findings}
    monkeypatch.setattr(water_work, "completed", solve)
    document.undo()
    assert document.water_trouble == ""
    qtbot.waitUntil(lambda: current(document))
    assert "water-solved" not in {f.rule for f in document.analysis.findings}


def test_a_document_can_be_closed_while_the_water_is_worked_out(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = threading.Event()
    solve = water_work.completed

    def slow(analysis: Analysis) -> Analysis:
        begun.set()
        return solve(analysis)

    monkeypatch.setattr(water_work, "completed", slow)
    document = Document(sketch(Answers(buckets=6)))
    told: list[None] = []
    document.changed.connect(lambda: told.append(None))
    qtbot.waitUntil(begun.is_set)
    document.close()
    assert water_threads() == []
    assert document._work.idle
    move(document, 10.0)  # nothing starts again
    assert water_threads() == []
    assert told == [None]


def test_a_document_that_is_forgotten_leaves_no_thread(qtbot: QtBot) -> None:
    def opened_and_forgotten() -> None:
        document = Document(sketch(Answers(buckets=6)))
        qtbot.waitUntil(lambda: current(document))
        assert len(water_threads()) == 1
        document.deleteLater()

    opened_and_forgotten()
    qtbot.wait(1)
    gc.collect()
    qtbot.waitUntil(lambda: water_threads() == [])


def water_threads() -> list[threading.Thread]:
    return [thread for thread in threading.enumerate() if thread.name.startswith("water")]

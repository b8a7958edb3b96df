"""The rails' sag on the sheet."""

from designer.model import edits
from tests.beds import bed


def sags(sheet):
    return [key for key in sheet.panes["elevation"].built if key.startswith("sag:")]


def test_the_sag_is_drawn_when_asked_for_and_only_while_it_is_true(person, qtbot):
    length = bed(6).runs[0].length
    design = edits.set_run_part(
        bed(6), "r1", "stand", supports=(0.0, length), on_edge=False, rails=2
    )
    sheet = person(design=design).sheet
    qtbot.waitUntil(lambda: sheet.document.analysis.stands_current, timeout=20_000)
    assert not sheet.sag_shown
    assert sags(sheet) == []
    sheet.sag_shown = True
    assert sags(sheet) == ["sag:r1"]
    text = [t for t in sheet.panes["elevation"]._kept["sag:r1"].records if hasattr(t, "text")]
    assert text[0].text.startswith("rails' sag after years")
    sheet.document.apply(lambda d: edits.move_buckets(d, ["b1"], -5.0), "")
    if not sheet.document.analysis.stands_current:
        assert "sag:r1" not in sheet.panes["elevation"]._kept
    qtbot.waitUntil(lambda: "sag:r1" in sheet.panes["elevation"]._kept, timeout=20_000)
    sheet.sag_shown = False
    assert "sag:r1" not in sheet.panes["elevation"]._kept

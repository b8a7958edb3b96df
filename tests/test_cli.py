"""The command line: exit codes, JSON, files, and one sentence for whatever is wrong."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pypdfium2
import pytest

from designer import __version__
from designer.cli import COMMANDS, main
from designer.model import edits
from designer.model.design import Design
from designer.model.file import read_design
from designer.model.saving import save
from tests.beds import bed, finding

ROOT = Path(__file__).resolve().parent.parent
FINDING_KEYS = {
    "rule", "state", "subjects", "is", "needs", "why", "source", "remedies",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def good(tmp_path: Path) -> Path:
    path = tmp_path / "good.rill"
    save(bed(4), path)
    return path


@pytest.fixture
def bad(tmp_path: Path) -> Path:
    path = tmp_path / "bad.rill"
    save(edits.set_fall(bed(4), "r1", -5.0), path)
    return path


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """The one sentence with which bad input is refused."""
    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("rillwright: ")
    assert err.count("\n") == 1
    assert err.endswith((".\n", "?\n"))
    assert ".." not in err.replace("...", "")
    assert "Traceback" not in err
    return err


@pytest.mark.parametrize("command", ["check", "water", "takeoff"])
def test_a_build_sheet_does_for_the_design_it_carries(
    good: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sheet", str(good), "--out", "shared.pdf", "--only", "templates"]) == 0
    capsys.readouterr()
    codes, answers = [], []
    for file in (str(good), "shared.pdf"):
        codes.append(main([command, file]))
        answers.append(capsys.readouterr().out)
    assert codes[0] == codes[1]
    assert answers[0] == answers[1]


def test_sheets_and_pictures_are_made_from_a_build_sheet_too(good: Path) -> None:
    assert main(["sheet", str(good), "--out", "shared.pdf", "--only", "templates"]) == 0
    assert main(["sheet", "shared.pdf", "--out", "whole.pdf"]) == 0
    assert main(["picture", "shared.pdf", "--out", "bed.svg"]) == 0
    assert read_design("whole.pdf").design == read_design(good).design


def test_a_foreign_pdf_is_refused_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "letter.pdf"
    other.write_bytes(b"%PDF-1.7\n")
    assert "'letter.pdf' cannot be opened: it is damaged" in refused(["check", str(other)], capsys)


def test_a_good_bed_checks_out_with_code_0(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(good)]) == 0
    out = capsys.readouterr().out
    assert "Must fix 0, Look again 0, Good" in out


def test_a_fault_is_told_with_its_remedy_and_code_1(
    bad: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(bad)]) == 1
    out = capsys.readouterr().out
    assert "Must fix: The drain falls to its outlet (Run 1)" in out
    assert "is: capped end 5 mm below the outlet end" in out
    assert "needs: at least 26 mm" in out
    assert "remedy: Raise the capped end 31 mm" in out


def test_a_look_again_alone_is_no_failure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    save(edits.set_fall(bed(4), "r1", 20.0), tmp_path / "a.rill")
    assert main(["check", "a.rill"]) == 0
    assert "Look again 1" in capsys.readouterr().out


def test_check_as_json_has_these_keys(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(bad), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert set(document) == {"findings", "counts"}
    assert set(document["counts"]) == {"must_fix", "look_again", "good"}
    assert sum(document["counts"].values()) == len(document["findings"])
    for record in document["findings"]:
        assert set(record) >= FINDING_KEYS
        assert record["state"] in ("must_fix", "look_again", "good")
        assert all(isinstance(s, str) for s in record["subjects"] + record["remedies"])
        assert record["is"]
        assert record["needs"]
    (fall,) = [r for r in document["findings"] if r["rule"] == "fall-total"]
    assert fall["state"] == "must_fix"
    assert fall["subjects"] == ["r1"]
    assert fall["remedies"] == ["Raise the capped end 31 mm"]


def test_json_gives_each_case_and_the_reason_of_what_was_accepted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design = edits.set_run(bed(4), "r1", crop="squash")
    key = finding(design, "canopy-room").key
    save(edits.accept(design, *key, "Trained up"), tmp_path / "a.rill")
    main(["check", "a.rill", "--json"])
    found = {r["rule"]: r for r in json.loads(capsys.readouterr().out)["findings"]}
    record = found["canopy-room"]
    assert record["accepted"] == "Trained up"
    assert all(set(case) == {"subjects", "is", "needs"} for case in record["cases"])


def test_the_sheet_is_written_as_pdf(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", str(good), "--out", "sheet.pdf"]) == 0
    assert capsys.readouterr().out == "sheet.pdf\n"
    whole = Path("sheet.pdf").read_bytes()
    assert whole.startswith(b"%PDF")
    templates = ["--out", "t.pdf", "--only", "templates", "--paper", "letter"]
    assert main(["sheet", str(good), *templates]) == 0
    assert len(Path("t.pdf").read_bytes()) < len(whole)


@pytest.mark.parametrize("view", ["plan", "elevation", "both"])
def test_the_picture_is_written_as_svg(good: Path, view: str) -> None:
    assert main(["picture", str(good), "--out", "a.svg", "--view", view]) == 0
    text = Path("a.svg").read_text("utf-8")
    assert text.startswith("<?xml")
    assert "</svg>" in text
    assert ('data-key="plan:b1"' in text) == (view != "elevation")
    assert ('data-key="elev:b1"' in text) == (view != "plan")


def test_the_picture_is_written_as_png(good: Path, qapp: object) -> None:
    assert main(["picture", str(good), "--out", "a.PNG"]) == 0
    assert Path("a.PNG").read_bytes().startswith(b"\x89PNG")


def test_sketch_writes_a_design_that_checks_out(capsys: pytest.CaptureFixture[str]) -> None:
    words = "sketch --buckets 6 --crop pepper --units imperial --reservoir beside --out a.rill"
    arguments = [*words.split(), "--pitch", "14 in", "--title", "Peppers"]
    assert main(arguments) == 0
    assert capsys.readouterr().out == "a.rill\n"
    design = read_design(Path("a.rill")).design
    assert design.title == "Peppers"
    assert len(design.runs[0].buckets) == 6
    assert design.runs[0].pitch == pytest.approx(14 * 25.4)
    assert main(["check", "a.rill"]) == 0


def test_sketch_by_space(capsys: pytest.CaptureFixture[str]) -> None:
    """3 m of ground: a tote of 760 mm and 150 mm to it leave 2 m and a little for the bed."""
    assert main(["sketch", "--space", "3 m", "--out", "a.rill"]) == 0
    assert len(read_design(Path("a.rill")).design.runs[0].buckets) == 5


def test_sketch_replaces_a_file_only_when_told_to(
    good: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = good.read_bytes()
    arguments = ["sketch", "--buckets", "3", "--out", "good.rill"]
    said = refused(arguments, capsys)
    assert "'good.rill' is there already" in said
    assert "--force" in said
    assert good.read_bytes() == before
    assert main([*arguments, "--force"]) == 0
    assert len(read_design(good).design.runs[0].buckets) == 3


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("chek", "did you mean check?"),
        ("sketsh", "did you mean sketch?"),
        ("frobnicate", "did you mean one of check, water, takeoff, sheet, picture, sketch?"),
    ],
)
def test_a_mistyped_command_is_told_from_a_file(
    word: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    said = refused([word, "a.rill"], capsys)
    assert f"There is no command '{word}'; {says}" in said


@pytest.mark.parametrize("arguments", [[], ["check"], ["water"]])
def test_a_folder_is_refused_in_one_sentence(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = refused([*arguments, str(tmp_path)], capsys)
    assert "is a folder" in said
    assert tmp_path.name in said


@pytest.mark.parametrize("out", ["x.png", "x", "pdf", "x.pdf.txt"])
def test_a_build_sheet_of_another_name_than_pdf_is_refused(
    good: Path, out: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert f".pdf, not '{out}'" in refused(["sheet", str(good), "--out", out], capsys)
    assert list(Path().iterdir()) == [Path("good.rill")]


def test_a_fault_is_printed_with_its_source(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(bad)])
    out = capsys.readouterr().out
    assert out.count("  source: ") == out.count("  needs: ") > 0
    assert "source: common practice, no source" in out


def test_help_lists_each_command_with_what_it_does(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    lines = capsys.readouterr().out.splitlines()
    for command, does in COMMANDS.items():
        assert f"  {command:<10}{does}" in lines


def test_the_program_is_called_as_it_was_started(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    wrong = command("check")
    started = f"python{'' if os.name == 'nt' else '3'} -m designer"
    assert wrong.stderr.decode().startswith(f"{started}: ")
    assert f"see `{started} --help`" in wrong.stderr.decode()
    monkeypatch.setattr(sys, "argv", ["/usr/local/bin/rillwright"])
    assert "see `rillwright --help`" in refused(["check"], capsys)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["check"], "FILE"),
        (["check", "nothing.rill"], "nothing.rill"),
        (["check", "."], "folder"),
        (["check", "a.rill", "--xml"], "--xml"),
        (["a.rill", "b.rill"], "b.rill"),
        (["--nonsense"], "--nonsense"),
        (["sheet", "a.rill"], "--out"),
        (["sheet", "nothing.rill", "--out", "a.pdf"], "nothing.rill"),
        (["sketch", "--out", "a.rill"], "--buckets"),
        (["sketch", "--out", "a.rill", "--buckets", "3", "--space", "3 m"], "--space"),
        (["sketch", "--out", "a.rill", "--buckets", "many"], "many"),
        (["sketch", "--out", "a.rill", "--buckets", "0"], "1 to 1000"),
        (["sketch", "--out", "a.rill", "--space", "1 mm"], "too short"),
        (["sketch", "--out", "a.rill", "--space", "wide"], "wide"),
        (["sketch", "--out", "a.rill", "--buckets", "3", "--pitch", "0"], "pitch"),
        (["sketch", "--out", "a.rill", "--buckets", "6", "--pitch", "12"], "at least 250 mm"),
        (["sketch", "--out", "a.rill", "--buckets", "3", "--crop", "oak"], "oak"),
        (["sketch", "--out", "a.rill", "--buckets", "3", "--bucket", "bath"], "bath"),
        (["sketch", "--out", "none/a.rill", "--buckets", "3"], "a.rill"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert says in refused(arguments, capsys)
    assert not list(Path().iterdir())


@pytest.mark.parametrize(
    ("command", "out"),
    [("sheet", "none/a.pdf"), ("picture", "none/a.svg"), ("picture", "none/a.png")],
)
def test_a_place_that_cannot_be_written_is_named(
    good: Path, command: str, out: str, capsys: pytest.CaptureFixture[str], qapp: object
) -> None:
    assert out in refused([command, str(good), "--out", out], capsys)


def test_a_picture_of_another_kind_is_refused(
    good: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "'a.gif'" in refused(["picture", str(good), "--out", "a.gif"], capsys)


@pytest.mark.parametrize("text", ["", "{", "[]", '{"design": 3}', "\x00\x01", '{"a": NaN}'])
def test_a_damaged_file_is_refused(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    Path("a.rill").write_text(text, "utf-8")
    for arguments in (
        ["check", "a.rill"],
        ["sheet", "a.rill", "--out", "a.pdf"],
        ["picture", "a.rill", "--out", "a.svg"],
    ):
        assert "a.rill" in refused(arguments, capsys)
    assert list(Path().iterdir()) == [Path("a.rill")]


def test_an_empty_design_is_drawn_and_checked(capsys: pytest.CaptureFixture[str]) -> None:
    save(Design(title=""), Path("a.rill"))
    assert main(["check", "a.rill"]) == 1
    assert main(["sheet", "a.rill", "--out", "a.pdf"]) == 0
    assert main(["picture", "a.rill", "--out", "a.svg"]) == 0


@pytest.mark.parametrize(("option", "says"), [("--version", __version__), ("--help", "sketch")])
def test_version_and_help_end_well(
    option: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main([option])
    assert ended.value.code == 0
    assert says in capsys.readouterr().out


@pytest.mark.parametrize("command", ["check", "sheet", "picture", "sketch"])
def test_every_command_has_help(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])
    assert ended.value.code == 0
    assert "usage" in capsys.readouterr().out


def no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")


def test_without_a_display_a_sample_is_drawn_into_out(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    no_display(monkeypatch)
    assert main([]) == 0
    assert "No display" in capsys.readouterr().out
    assert sorted(p.suffix for p in Path("out").iterdir()) == [".pdf", ".svg"]


def test_without_a_display_the_file_that_was_asked_for_is_drawn(
    good: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    no_display(monkeypatch)
    assert main([str(good)]) == 0
    assert sorted(p.name for p in Path("out").iterdir()) == ["good.pdf", "good.svg"]


def test_without_a_display_a_pdf_that_was_asked_for_is_not_written_over(
    good: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    no_display(monkeypatch)
    Path("out").mkdir()
    shared = Path("out/bed.pdf")
    assert main(["sheet", str(good), "--out", str(shared)]) == 0
    before = shared.read_bytes()
    assert main([str(shared)]) == 0
    assert shared.read_bytes() == before
    assert read_design("out/bed again.pdf").design == read_design(good).design


def test_without_a_display_bad_input_is_refused_all_the_same(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    no_display(monkeypatch)
    assert "nothing.rill" in refused(["nothing.rill"], capsys)
    Path("out").write_text("a file is in the way")
    assert main([]) == 2
    assert "out" in capsys.readouterr().err


def command(*arguments: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """The program as a person starts it."""
    kept = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.run(
        [sys.executable, "-m", "designer", *arguments],
        env={**kept, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        check=False,
        timeout=120,
    )


def test_the_program_itself_ends_with_the_same_codes(good: Path, bad: Path) -> None:
    assert command("check", str(good)).returncode == 0
    assert command("check", str(bad)).returncode == 1
    wrong = command("check", "nothing.rill")
    assert wrong.returncode == 2
    assert b"Traceback" not in wrong.stderr


def test_a_console_without_all_letters_shows_what_it_can(tmp_path: Path) -> None:
    design = bed(2)
    design = edits.set_run(design, "r1", name="温室")
    save(design, tmp_path / "a.rill")
    done = command("check", "a.rill", PYTHONIOENCODING="ascii", LC_ALL="C.UTF-8")
    assert done.returncode == 0, done.stderr
    assert b"(??)" in done.stdout


def test_templates_go_on_a_paper_of_their_own(
    good: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["--out", "t.pdf", "--only", "templates", "--template-paper"]
    for name, side in (("a3", 297.0), ("roll-610", 610.0), ("roll-24in", 609.6)):
        assert main(["sheet", str(good), *asked, name]) == 0
        with pypdfium2.PdfDocument("t.pdf") as document:
            for page in document:
                sides = [value * 25.4 / 72 for value in page.get_size()]
                assert min(abs(value - side) for value in sides) < 0.01
    capsys.readouterr()
    assert main(["sheet", str(good), *asked, "roll-5"]) == 2
    assert "280 to 2000 mm" in capsys.readouterr().err
    assert main(["sheet", str(good), *asked, "b7"]) == 2
    assert "There is no paper 'b7'" in capsys.readouterr().err


def test_templates_of_an_empty_bed_are_refused_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    save(Design(title="Empty"), tmp_path / "empty.rill")
    assert main(["sheet", "empty.rill", "--only", "templates", "--out", "t.pdf"]) == 2
    assert "There is no template to print yet" in capsys.readouterr().err


def test_templates_are_chosen_by_name_and_buckets_by_letter(
    good: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["sheet", str(good), "--out", "t.pdf", "--only", "templates"]

    def titles(*more: str) -> list[str]:
        assert main([*asked, *more]) == 0
        with pypdfium2.PdfDocument("t.pdf") as document:
            return [item.get_title() for item in document.get_toc() if item.level > 0]

    every = " ".join(titles("--templates", "all"))
    for word in ("Outlet hole", "Collar:", "Lid:", "Drain strip", "Collar round", "Supports"):
        assert word in every
    lids = titles("--templates", "lid, drain collar", "--buckets", "a")
    assert [title.split(":")[0] for title in lids] == ["Lid", "Collar round the drain"]
    assert len(titles()) < len(titles("--templates", "all"))


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--templates", "lids"), "There is no template 'lids'; did you mean lid?"),
        (("--templates", ""), "Name a template; choose from outlet, collar"),
        (("--buckets", "A,Z"), "There is no bucket 'Z'; the bed has A to"),
        (("--buckets", ""), "Name a bucket; the bed has A to"),
    ],
)
def test_a_template_or_bucket_that_is_not_there_is_refused_in_words(
    good: Path, capsys: pytest.CaptureFixture[str], more: tuple[str, str], said: str
) -> None:
    assert main(["sheet", str(good), "--out", "t.pdf", *more]) == 2
    assert said in capsys.readouterr().err
    assert not Path("t.pdf").exists()

"""The design inside the PDF: what was printed comes back byte for byte, or is refused plainly."""

import datetime
import io
import random
import subprocess
import sys
import zlib
from functools import cache
from pathlib import Path

import pypdfium2
import pytest
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfbase.pdfdoc import PDFBase85Encode
from reportlab.pdfgen.canvas import Canvas

from designer.analysis import analyse
from designer.model.design import Design
from designer.model.faults import DesignError
from designer.model.file import MAX_BYTES, format_design, read_design
from designer.model.pdf_file import HASH_KEY, design_in_pdf
from designer.model.saving import save
from designer.resources import sample_paths
from designer.sheet import attachment
from designer.sheet.attachment import Attachment, attach
from designer.sheet.build_sheet import build_sheet_bytes, sheet_pages, write_build_sheet
from designer.sheet.options import SheetOptions
from designer.sheet.paper import A4, LETTER, start_canvas
from designer.sheet.pdf_pages import Imprint, pages_pdf
from designer.sketch import Answers, sketch

DAY = datetime.date(2026, 3, 1)
ONLY_TEMPLATES = SheetOptions(only_templates=True, date=DAY)


@cache
def smallest() -> tuple[Design, bytes]:
    """A design and the smallest file that carries it."""
    design = sketch(Answers(title="One bucket", buckets=1))
    return design, build_sheet_bytes(analyse(design), ONLY_TEMPLATES)


def carrying(*attachments: Attachment) -> bytes:
    """A PDF of one empty page with attachments."""
    canvas = start_canvas("Shared")
    for one in attachments:
        attach(canvas, one)
    canvas.showPage()
    return bytes(canvas.getpdfdata())


def refusal(data: bytes, folder: Path) -> str:
    """The sentence with which a PDF is refused."""
    path = folder / "bed.pdf"
    path.write_bytes(data)
    with pytest.raises(DesignError) as caught:
        read_design(path)
    assert caught.value.message.startswith("'bed.pdf' cannot be opened: ")
    return caught.value.message


# -- what was printed comes back ---------------------------------------------------------------


@pytest.mark.parametrize("sample", sample_paths(), ids=lambda path: path.stem)
@pytest.mark.parametrize(
    "options",
    [
        SheetOptions(paper=A4, date=DAY),
        SheetOptions(paper=LETTER, date=DAY),
        SheetOptions(paper=LETTER, template_paper=A4.turned, only_templates=True, date=DAY),
    ],
    ids=["a4", "letter", "templates"],
)
def test_every_sample_comes_back_byte_for_byte(
    sample: Path, options: SheetOptions, tmp_path: Path
) -> None:
    design = read_design(sample).design
    printed = tmp_path / "bed.pdf"
    write_build_sheet(analyse(design), printed, options)
    saved = tmp_path / "bed.rill"
    save(design, saved)
    assert design_in_pdf(printed.read_bytes(), MAX_BYTES) == saved.read_bytes()
    read = read_design(printed)
    assert read.design == design
    assert read.is_copy
    assert not read_design(saved).is_copy


def test_any_viewer_lists_the_design_with_its_name_kind_and_size() -> None:
    design, data = smallest()
    document = pypdfium2.PdfDocument(data)
    assert document.count_attachments() == 1
    attached = document.get_attachment(0)
    assert attached.get_name() == "One bucket.rill"
    assert len(attached.get_data()) == len(format_design(design).encode("utf-8"))
    assert attached.has_key("Size")
    assert attached.has_key("CheckSum")
    assert len(attached.get_str_value(HASH_KEY)) == 64
    document.close()


def test_a_pdf_is_known_by_its_first_bytes_whatever_its_name(tmp_path: Path) -> None:
    design, data = smallest()
    for name in ("bed", "bed.rill", "bed.PDF"):
        path = tmp_path / name
        path.write_bytes(data)
        assert read_design(path).design == design


def test_a_title_of_any_letters_makes_a_file_name_and_still_comes_back(tmp_path: Path) -> None:
    design = sketch(Answers(title="Über: Tomates / ½ lit (été)", buckets=1))
    path = tmp_path / "bed.pdf"
    write_build_sheet(analyse(design), path, ONLY_TEMPLATES)
    assert read_design(path).design == design
    document = pypdfium2.PdfDocument(path)
    assert document.get_attachment(0).get_name() == "Über Tomates ½ lit été.rill"
    document.close()


def test_a_file_saved_again_by_another_program_still_gives_the_design_back(tmp_path: Path) -> None:
    design, data = smallest()
    document = pypdfium2.PdfDocument(data)
    path = tmp_path / "again.pdf"
    document.save(path)
    document.close()
    assert path.read_bytes() != data
    assert read_design(path).design == design


# -- or is refused plainly ---------------------------------------------------------------------


def test_a_foreign_pdf_is_refused(tmp_path: Path) -> None:
    assert "holds no Rillwright design; open one that" in refusal(carrying(), tmp_path)
    other = carrying(Attachment("photo.json", b"{}"))
    assert "holds no Rillwright design; open one that" in refusal(other, tmp_path)


def test_a_design_changed_inside_the_pdf_is_refused(tmp_path: Path) -> None:
    design, data = smallest()
    text = format_design(design)
    document = pypdfium2.PdfDocument(data)
    attached = document.get_attachment(0)
    expected = attached.get_str_value(HASH_KEY)
    attached.set_data(text.replace("One bucket", "Two bucket").encode("utf-8"))
    attached.set_str_value(HASH_KEY, expected)  # the same parameters as before
    changed = io.BytesIO()
    document.save(changed)
    document.close()
    words = "the design in it was damaged, or changed since Rillwright put it there; ask for"
    assert words in refusal(changed.getvalue(), tmp_path)


def test_a_design_without_its_check_is_refused(tmp_path: Path) -> None:
    design, _ = smallest()
    document = pypdfium2.PdfDocument(carrying())
    attached = document.new_attachment("bed.rill")
    attached.set_data(format_design(design).encode("utf-8"))
    made = io.BytesIO()
    document.save(made)
    document.close()
    assert "was damaged, or changed" in refusal(made.getvalue(), tmp_path)


def test_an_attached_file_that_is_no_design_is_refused_by_its_own_fault(tmp_path: Path) -> None:
    made = carrying(Attachment("bed.rill", b"[]"))
    assert "is not a Rillwright design" in refusal(made, tmp_path)


def test_two_designs_in_one_pdf_are_not_guessed_between(tmp_path: Path) -> None:
    document = pypdfium2.PdfDocument(smallest()[1])
    document.new_attachment("other.rill").set_data(b"{}")
    both = io.BytesIO()
    document.save(both)
    document.close()
    assert "holds 2 designs; save the one you want" in refusal(both.getvalue(), tmp_path)


def test_a_locked_pdf_is_refused(tmp_path: Path) -> None:
    made = io.BytesIO()
    canvas = Canvas(made, encrypt=StandardEncryption("secret"))
    canvas.drawString(100, 100, "locked")
    canvas.save()
    words = "it is locked with a password; ask for a copy without one."
    assert words in refusal(made.getvalue(), tmp_path)


def test_a_damaged_pdf_is_refused(tmp_path: Path) -> None:
    words = "it is damaged, or not a PDF; ask for another copy of it, or for the design's own file"
    for data in (b"", b"%PDF-1.7", b"no PDF at all", smallest()[1][:3000]):
        assert words in refusal(data, tmp_path)


def test_a_design_too_large_to_be_one_is_refused_before_it_is_taken_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(attachment, "PDFZCompress", PDFBase85Encode)
    made = carrying(Attachment("bed.rill", bytes(5000)))
    with pytest.raises(DesignError, match=r"design in it is larger than 0 MB"):
        design_in_pdf(made, most=4000)


@pytest.mark.parametrize("layers", [1, 2])
def test_a_file_that_unpacks_without_end_is_refused_before_it_is_unpacked(
    layers: int, tmp_path: Path
) -> None:
    packed = bytes(60_000_000)
    for _ in range(layers):
        packed = zlib.compress(packed)
    assert len(packed) < 100_000
    bomb = b"%PDF-1.7\n1 0 obj\n<</Filter/FlateDecode>>\nstream\n" + packed + b"\nendstream"
    words = "it holds more than a build sheet can; open one that Rillwright made."
    assert words in refusal(bomb, tmp_path)
    assert words in refusal(b"stream\nx" * 10_000, tmp_path)


def test_a_file_larger_than_any_design_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.pdf"
    with path.open("wb") as file:
        file.write(b"%PDF-1.7\n")
        file.truncate(MAX_BYTES + 1)
    with pytest.raises(DesignError, match="is larger than 50 MB"):
        read_design(path)


def mutated(data: bytes, chance: random.Random) -> bytes:
    """The bytes with one to eight places flipped, cut out, filled in, doubled or swapped."""
    made = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 8))):
        at, size = chance.randrange(len(made)), chance.choice((1, 3, 10, 100, 1000))
        piece = made[at : at + size]
        match chance.choice(("flip", "flip", "flip", "out", "in", "double", "swap", "off")):
            case "flip":
                made[at] ^= chance.randrange(1, 256)
            case "out":
                del made[at : at + size]
            case "in":
                made[at:at] = chance.randbytes(size)
            case "double":
                made[at:at] = piece
            case "swap":
                other = chance.randrange(len(made))
                there = made[other : other + size]
                if len(there) == len(piece):
                    made[at : at + size], made[other : other + size] = there, piece
            case "off" if at > 10:
                del made[at:]
    return bytes(made)


def test_of_500_damaged_files_each_gives_the_same_design_or_one_sentence() -> None:
    design, data = smallest()
    wanted = format_design(design).encode("utf-8")
    chance = random.Random(20260301)
    outcomes = [outcome(mutated(data, chance), wanted) for _ in range(500)]
    refusals = [sentence for sentence in outcomes if sentence]
    # Both happen often, or the damage would say nothing.
    assert 50 < len(refusals) < 450
    for sentence in refusals:
        assert sentence.endswith(".")
        assert len(sentence) < 200


def outcome(data: bytes, wanted: bytes) -> str:
    """The sentence of a refusal; empty where the wanted bytes came out."""
    try:
        found = design_in_pdf(data, MAX_BYTES)
    except DesignError as error:
        return error.message
    assert found == wanted
    return ""


# -- the same design, the same bytes -----------------------------------------------------------


def test_pages_drawn_twice_are_the_same() -> None:
    pages = sheet_pages(analyse(sketch(Answers(buckets=4))))
    imprint = Imprint("Bed", "build sheet", "2026-03-01", "mm")
    assert pages_pdf(pages, imprint) == pages_pdf(pages, imprint)


def test_two_processes_write_the_same_file() -> None:
    code = (
        "import datetime, hashlib\n"
        "from designer.analysis import analyse_fully\n"
        "from designer.sheet.build_sheet import build_sheet_bytes\n"
        "from designer.sheet.options import SheetOptions\n"
        "from designer.sketch import Answers, sketch\n"
        "options = SheetOptions(date=datetime.date(2026, 3, 1))\n"
        "data = build_sheet_bytes(analyse_fully(sketch(Answers(buckets=4))), options)\n"
        "print(hashlib.sha256(data).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PATH": ""},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1

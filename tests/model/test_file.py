"""The design's file: the same design the same bytes, and every fault one sentence."""

import difflib
import json
import random
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.model.catalogue import load_catalogue
from designer.model.design import (
    Bucket,
    Design,
    Drain,
    Fill,
    Manifold,
    Obstacle,
    Outlet,
    Point,
    Reservoir,
    Run,
    Stand,
    Tails,
)
from designer.model.file import (
    FORMAT,
    MAX_BYTES,
    VERSION,
    DesignError,
    fingerprint_of,
    format_design,
    parse_design,
    read_design,
)
from designer.model.json_text import format_number
from designer.model.parts import BucketPart
from designer.stand.timber import load_timber
from tests.strategies import designs

BED = Design(
    title="Two tomatoes",
    outline=(Point(0, 0), Point(4000, 0), Point(4000, 2500.25)),
    obstacles=(
        Obstacle(id="o1", kind="wall", name="Shed", place=Point(0, 900), width=4000, depth=100),
    ),
    reservoir=Reservoir(
        part="tote-60-l",
        pump="pump-small",
        place=Point(-500, 0),
        sunk=300,
        freeboard=40,
        low_water=80,
    ),
    own_parts=(
        BucketPart(
            id="my-bucket",
            name="Mayonnaise bucket",
            rim_diameter=270,
            top_diameter=262,
            base_diameter=230,
            height=260,
            wall=2,
        ),
    ),
    runs=(
        Run(
            id="r1",
            name="North bed",
            start=Point(0, 0),
            heading=0,
            length=1500,
            pitch=600,
            bucket="pail-5-gal",
            crop="tomato",
            medium="perlite",
            medium_depth=250,
            outlet=Outlet(
                height=50,
                saw="saw-1-1-8-in",
                grommet="grommet-1-2-in",
                elbow="elbow-1-2-in",
                pipe="pvc-1-2-in",
                nipple_length=75,
            ),
            tails=Tails(length=80),
            drain=Drain(pipe="pvc-2-in", saw="saw-1-1-4-in", cap="drain-cap", fall=15),
            manifold=Manifold(
                tube="tube-16-mm",
                feed_tube="tube-6-mm",
                barb="barb-6-mm",
                plug="manifold-plug",
                offset=120,
                height=380,
            ),
            stand=Stand(height=400, rail="lumber-2x4", block="block-8x8x16", supports=(100, 1400)),
            return_path=(Point(-300, 0), Point(-500, 0)),
            buckets=(
                Bucket(id="b1", station=300, side="left"),
                Bucket(id="b2", station=600, side="right", part="my-bucket"),
                Bucket(id="b3", station=900, side="left", crop="pepper"),
            ),
        ),
    ),
)
TEXT = format_design(BED)


def as_filed(value: object) -> object:
    """A design with its numbers as the file keeps them."""
    if isinstance(value, float):
        return float(format_number(value))
    if isinstance(value, tuple):
        return tuple(as_filed(member) for member in value)
    if is_dataclass(value):
        names = [field.name for field in fields(value)]
        return replace(value, **{name: as_filed(getattr(value, name)) for name in names})
    return value


def fault(text: str) -> DesignError:
    """The error that reading a text raises."""
    with pytest.raises(DesignError) as caught:
        parse_design(text)
    return caught.value


def changed(*swaps: tuple[str, str]) -> str:
    """The sample's text with each first text, which it must hold, replaced once."""
    text = TEXT
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def is_one_plain_sentence(message: str) -> bool:
    """Whether a message reads as one sentence of ours, none of the validator's or Python's."""
    foreign = ("Input should", "pydantic", "Traceback", "Error", "type=", "Expecting", "\n")
    ends = message.endswith((".", "?"))
    starts = not message[0].islower()
    return ends and starts and len(message) < 420 and not any(word in message for word in foreign)


# -- the same design, the same bytes -----------------------------------------------------------


@given(designs())
def test_a_design_read_back_is_the_same_to_a_thousandth_of_a_millimetre(design: Design) -> None:
    assert parse_design(format_design(design)) == as_filed(design)


@given(designs())
def test_reading_and_writing_again_gives_the_same_bytes(design: Design) -> None:
    text = format_design(design)
    again = format_design(parse_design(text))
    assert again.encode() == text.encode()
    assert format_design(design) == text


@given(st.floats(-1e6, 1e6))
def test_rounding_twice_is_rounding_once(value: float) -> None:
    once = format_number(value)
    assert format_number(float(once)) == once
    assert abs(float(once) - value) <= 0.0005 + 1e-9
    assert "e" not in once
    assert once != "-0"


def test_numbers_are_written_as_a_person_would_write_them() -> None:
    written = [format_number(v) for v in (300.0, -0.0, 0.1 + 0.2, 1e-7, -1e-7, 1e6, 3.1754)]
    assert written == ["300", "0", "0.3", "0", "0", "1000000", "3.175"]


def test_the_file_begins_with_its_format_and_version() -> None:
    assert TEXT.startswith('{\n  "format": "rillwright design",\n  "version": 2,\n')
    assert TEXT.endswith("}\n")
    assert json.loads(TEXT)["runs"][0]["length"] == 1500


def test_fields_that_are_empty_are_left_out() -> None:
    bare = json.loads(format_design(Design(title="")))
    assert "plant_use" not in bare.pop("water")
    assert bare.pop("fill") == {"settling": 7.5, "dose_unit": "ml"}
    assert bare == {
        "format": FORMAT,
        "version": VERSION,
        "title": "",
        "units": "metric",
        "paper": "a4",
    }
    assert json.loads(TEXT)["runs"][0]["buckets"][0] == {"id": "b1", "station": 300, "side": "left"}


def test_moving_one_bucket_changes_one_line() -> None:
    run = BED.runs[0]
    moved = (run.buckets[0], replace(run.buckets[1], station=612.5), run.buckets[2])
    after = format_design(replace(BED, runs=(replace(run, buckets=moved),)))
    assert _changed_lines(TEXT, after) == (1, 1)


def test_adding_a_bucket_in_between_adds_one_line() -> None:
    run = BED.runs[0]
    more = (run.buckets[0], Bucket(id="b4", station=450, side="right"), *run.buckets[1:])
    after = format_design(replace(BED, runs=(replace(run, buckets=more),)))
    assert _changed_lines(TEXT, after) == (0, 1)


def _changed_lines(before: str, after: str) -> tuple[int, int]:
    lines = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    return sum(x.startswith("- ") for x in lines), sum(x.startswith("+ ") for x in lines)


def test_a_number_that_is_not_finite_is_not_written() -> None:
    run = replace(BED.runs[0], length=float("nan"))
    with pytest.raises(DesignError, match="not finite"):
        format_design(replace(BED, runs=(run,)))


# -- types are strict ---------------------------------------------------------------------------


def test_whole_numbers_and_lists_are_taken_for_lengths_and_tuples() -> None:
    design = parse_design(TEXT)
    assert isinstance(design.runs[0].length, float)
    assert isinstance(design.outline, tuple)
    assert design == BED


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            '"station": 300',
            '"station": "300"',
            "Run 'North bed', bucket 1, station is the text '300', but must be a number.",
        ),
        (
            '"pitch": 600',
            '"pitch": true',
            "Run 'North bed', pitch is true, but must be a number.",
        ),
        (
            '"pitch": 600',
            '"pitch": -600',
            "Run 'North bed', pitch is -600, but must be above 0.",
        ),
        (
            '"pitch": 600',
            '"pitch": NaN',
            "Run 'North bed', pitch is not a number (NaN), but must be an ordinary number.",
        ),
        (
            '"pitch": 600',
            '"pitch": -Infinity',
            "Run 'North bed', pitch is infinite, but must be an ordinary number.",
        ),
        (
            '"pitch": 600',
            '"pitch": 1e999',
            "Run 'North bed', pitch is infinite, but must be an ordinary number.",
        ),
        (
            '"pitch": 600',
            '"pitch": ' + "9" * 5000,
            "Run 'North bed', pitch is infinite, but must be an ordinary number.",
        ),
        (
            '"x": 4000, "y": 0',
            '"x": 1000001, "y": 0',
            "Outline point 2, x is 1000001, but must be at most 1000000.",
        ),
        (
            '"side": "left"',
            '"side": "top"',
            "Run 'North bed', bucket 1, side is the text 'top', but must be 'left' or 'right'.",
        ),
        (
            '"rails": 4',
            '"rails": 3',
            "Run 'North bed', stand, rails is 3, but must be 2 or 4.",
        ),
        (
            '"on_edge": true',
            '"on_edge": 1',
            "Run 'North bed', stand, on_edge is 1, but must be true or false.",
        ),
        (
            '"name": "North bed"',
            '"name": ""',
            "Run 1, name is an empty text; write something there.",
        ),
        (
            '"title": "Two tomatoes"',
            '"title": "' + "x" * 121 + '"',
            "Title is 121 characters long, but may be at most 120.",
        ),
        (
            '"supports": [100, 1400]',
            '"supports": [100, null]',
            "Run 'North bed', stand, support 2 is null, but must be a number.",
        ),
        (
            '"supports": [100, 1400]',
            '"supports": 100',
            "Run 'North bed', stand, supports is 100, but must be a list in square brackets.",
        ),
        (
            '"soil": "unknown"',
            '"soil": "clya"',
            (
                "Run 'North bed', stand, soil is the text 'clya', but must be 'clay', 'sand', "
                "'gravel' or 'unknown'."
            ),
        ),
        (
            '"station": 300, ',
            "",
            "Run 'North bed', bucket 1 has no 'station'; add it.",
        ),
        (
            '"station": 300',
            '"statoin": 300',
            "Run 'North bed', bucket 1 has an unknown field 'statoin'; did you mean 'station'?",
        ),
        (
            '"station": 300',
            '"station": 300, "colour": "red"',
            "Run 'North bed', bucket 1 has an unknown field 'colour'; remove it.",
        ),
        (
            '"station": 300',
            '"station": 300, "station": 301',
            "Run 1, bucket 1 gives the field 'station' twice; remove one of them.",
        ),
        (
            '"kind": "bucket"',
            '"kind": "bukcet"',
            (
                "Own part 1, kind is the text 'bukcet', but must be 'bucket', 'pipe', 'tube', "
                "'elbow', 'grommet', 'cap', 'barb', 'plug', 'hole_saw', 'medium', 'pump', "
                "'emitter', 'reservoir', 'board' or 'block'."
            ),
        ),
        ('"kind": "bucket", ', "", "Own part 1 has no 'kind'; add it."),
        (
            '"wall": 2',
            '"wal": 2',
            "Own part 1 has an unknown field 'wal'; did you mean 'wall'?",
        ),
        (
            '"tails": {',
            '"tails": [], "tales": {',
            "Run 'North bed' has an unknown field 'tales'; remove it (and 1 more fault).",
        ),
    ],
)
def test_a_fault_is_one_sentence_with_place_and_remedy(old: str, new: str, message: str) -> None:
    assert fault(changed((old, new))).message == message


def test_all_faults_are_gathered_and_counted() -> None:
    error = fault(changed(('"pitch": 600', '"pitch": 0'), ('"station": 300', '"station": "a"')))
    assert error.message.endswith("but must be above 0 (and 1 more fault).")
    assert error.place == "run 'North bed', pitch"
    assert [f.place for f in error.faults] == [error.place, "run 'North bed', bucket 1, station"]


# -- ids, parts and crops -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            '"bucket": "pail-5-gal"',
            '"bucket": "pail-5gl"',
            (
                "Run 'North bed' asks for the bucket 'pail-5gl', which is neither in the parts "
                "catalogue nor among the design's own parts; did you mean 'pail-5-gal'?"
            ),
        ),
        (
            '"part": "my-bucket"',
            '"part": "my-buket"',
            (
                "Run 'North bed', bucket 2 asks for the bucket 'my-buket', which is neither in the "
                "parts catalogue nor among the design's own parts; did you mean 'my-bucket'?"
            ),
        ),
        (
            '"supports": [100, 1400]',
            '"supports": [100, 1400], "timber": "c17"',
            (
                "Run 'North bed', stand asks for the timber grade 'c17', which is in no table; did "
                "you mean 'c16'?"
            ),
        ),
        (
            '"supports": [100, 1400]',
            '"supports": [100, 1400], "timber": "oak"',
            (
                "Run 'North bed', stand asks for the timber grade 'oak', which is in no table; "
                f"choose {', '.join(load_timber().grades)} or none."
            ),
        ),
        (
            '"crop": "pepper"',
            '"crop": "zzz"',
            (
                "Run 'North bed', bucket 3 asks for the crop 'zzz', which is not in the list of "
                "crops; choose another."
            ),
        ),
        (
            '"grommet": "grommet-1-2-in"',
            '"grommet": "pvc-2-in"',
            (
                "Run 'North bed', outlet asks for 'pvc-2-in' as its grommet, but that is a part of "
                "the kind 'pipe'; choose another."
            ),
        ),
        (
            '"plug": "manifold-plug"',
            '"plug": "drain-cap"',
            (
                "Run 'North bed', manifold asks for 'drain-cap' as its end plug, but that is a "
                "part of the kind 'cap'; choose another."
            ),
        ),
        (
            '"pump": "pump-small"',
            '"pump": "pump-smal"',
            (
                "Reservoir asks for the pump 'pump-smal', which is neither in the parts catalogue "
                "nor among the design's own parts; did you mean 'pump-small'?"
            ),
        ),
        (
            '"id": "b2"',
            '"id": "o1"',
            (
                "Obstacle 1 has the id 'o1', which run 'North bed', bucket 2 already has; give it "
                "another id."
            ),
        ),
    ],
)
def test_ids_are_used_once_and_parts_and_crops_exist(old: str, new: str, message: str) -> None:
    assert fault(changed((old, new))).message == message


def test_every_part_a_run_asks_for_is_looked_up() -> None:
    document = json.loads(TEXT)
    run = document["runs"][0]
    known = set(load_catalogue().parts) | set(load_catalogue().crops)
    asked: list[tuple[dict, str]] = []
    for record in (run, run["outlet"], run["drain"], run["manifold"], run["stand"]):
        asked += [(record, key) for key, v in record.items() if isinstance(v, str) and v in known]
    asked += [(document["reservoir"], "part"), (document["reservoir"], "pump")]
    assert len(asked) == 18
    for record, key in asked:
        kept, record[key] = record[key], "no-such-thing"
        assert len(fault(json.dumps(document)).faults) == 1, key
        record[key] = kept


# -- versions -----------------------------------------------------------------------------------


def test_a_newer_version_is_refused_by_name() -> None:
    assert fault(changed(('"version": 2', '"version": 7'))).message == (
        "The file was made by a newer Rillwright (file version 7; this one reads up to 2); open "
        "it with the newer one."
    )


@pytest.mark.parametrize("version", ["0", "-1", "true", "1.0", '"1"', "null"])
def test_a_version_is_a_whole_number_from_1(version: str) -> None:
    error = fault(changed(('"version": 2', f'"version": {version}')))
    assert "has no version" in error.message


def test_a_file_of_an_older_version_is_brought_up_to_date_step_by_step() -> None:
    def name_to_title(members: dict) -> dict:
        return {"title": members["name"], **{k: v for k, v in members.items() if k != "name"}}

    def inches_to_mm(members: dict) -> dict:
        moved = [{axis: v * 25.4 for axis, v in point.items()} for point in members["outline"]]
        return {**members, "outline": moved}

    steps = {1: name_to_title, 2: inches_to_mm}
    old = '{"format": "rillwright design", "version": %d, "%s": "A", "outline": [{"x":1,"y":2}]}'
    expected = Design(title="A", outline=(Point(25.4, 50.8),))
    assert parse_design(old % (1, "name"), migrations=steps) == expected
    assert parse_design(old % (2, "title"), migrations=steps) == expected
    with pytest.raises(DesignError, match="older version 1 and damaged"):
        parse_design(old % (1, "title"), migrations=steps)
    with pytest.raises(DesignError, match="reads up to 3"):
        parse_design(old % (4, "title"), migrations=steps)


def test_a_file_of_version_1_is_read_and_saved_as_of_today() -> None:
    """Version 1 knew nothing of what the bed is filled with; the usual values hold then."""
    old = (Path(__file__).parent / "version_1.rill").read_text("utf-8")
    assert '"version": 1,' in old
    assert '"fill"' not in old
    design = parse_design(old)
    assert design.fill == Fill()
    assert len(design.runs[0].buckets) == 2
    saved = format_design(design)
    assert '"version": 2,' in saved
    assert parse_design(saved) == design


# -- what is not a design at all ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "The file is empty; open an earlier save of it."),
        (" \n", "The file is empty; open an earlier save of it."),
        (
            TEXT.replace('"paper": "a4",', '"paper": "a4"'),
            (
                "The file is not a Rillwright design, or is damaged: line 7, column 3: a comma "
                "or a closing bracket is missing."
            ),
        ),
        (
            TEXT[: TEXT.index("tomatoes")],
            (
                "The file is not a Rillwright design, or is damaged: line 4, column 12: a text "
                "has no closing quote."
            ),
        ),
        (
            "[" * 10_000_000,
            (
                "The file is not a Rillwright design, or is damaged: its brackets are nested too "
                "deeply."
            ),
        ),
        (
            TEXT.replace('"Two tomatoes"', "[" * 150 + "]" * 150),
            (
                "The file is not a Rillwright design, or is damaged: its brackets are nested too "
                "deeply."
            ),
        ),
        (
            TEXT.replace('"runs": [', '"runs": [' + "0, " * 200_000),
            (
                "The file is not a Rillwright design, or is damaged: it holds far more than a "
                "design can."
            ),
        ),
        (
            "[1, 2]",
            (
                'The file is not a Rillwright design: it does not begin with "format": "rillwright '
                'design".'
            ),
        ),
        (
            '{"format": "shopping list"}',
            (
                'The file is not a Rillwright design: it does not begin with "format": "rillwright '
                'design".'
            ),
        ),
        (
            TEXT.replace("Two", "\\ud800"),
            (
                "The file is not a Rillwright design, or is damaged: a text holds half a character "
                "(a lone \\ud800 to \\udfff)."
            ),
        ),
    ],
    ids=[
        "empty",
        "blank",
        "comma",
        "cut off",
        "deep",
        "deeper than a design",
        "endless list",
        "list",
        "other",
        "half a character",
    ],
)
def test_a_text_that_is_no_design_is_refused_in_one_sentence(text: str, message: str) -> None:
    assert fault(text).message == message


def test_a_file_is_read_with_the_fingerprint_of_its_bytes(tmp_path: Path) -> None:
    for name in ("bed.rill", "bed", "my bed.txt", "ベッド.rill"):
        path = tmp_path / name
        path.write_text(TEXT, "utf-8")
        opened = read_design(path)
        assert opened.design == BED
        assert opened.fingerprint == fingerprint_of(TEXT.encode())


def test_a_byte_order_mark_and_windows_line_ends_do_not_matter(tmp_path: Path) -> None:
    path = tmp_path / "bed.rill"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert read_design(path).design == BED


def refusal(path: Path) -> str:
    """The sentence with which a file is refused."""
    with pytest.raises(DesignError) as caught:
        read_design(path)
    assert is_one_plain_sentence(caught.value.message)
    return caught.value.message


def test_what_cannot_be_read_is_refused_with_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bed.rill"
    opening = "'bed.rill' cannot be opened: "
    assert refusal(path) == opening + "it is not there; look whether it was moved or renamed."
    path.mkdir()
    assert refusal(path) == opening + "it is a folder; choose a file in it."
    path.rmdir()
    path.write_bytes(b"\x89PNG\r\n\x1a\n\xff")
    assert "it does not hold plain UTF-8 text" in refusal(path)
    path.write_bytes(b"")
    assert refusal(path) == opening + "the file is empty; open an earlier save of it."
    assert "is not an ordinary file" in refusal(Path("/dev/null"))
    assert "no file name may hold" in refusal(Path("a\0b"))

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)
    assert "you do not have permission to read it" in refusal(path)


def test_a_huge_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bed.rill"
    with path.open("wb") as file:
        file.truncate(MAX_BYTES + 1)
    assert "it is larger than 50 MB" in refusal(path)


def test_a_damaged_file_points_to_the_save_before_it(tmp_path: Path) -> None:
    path = tmp_path / "bed.rill"
    path.write_text(TEXT[:-20])
    (tmp_path / "bed.previous.rill").write_text(TEXT)
    assert refusal(path).endswith(
        "is missing (the save before it is beside it as 'bed.previous.rill')."
    )


# -- 2,000 damaged files ------------------------------------------------------------------------

ODD_VALUES = [
    None, True, 0, -1, 1e300, 10**30, float("nan"), float("inf"), "", "12", "x" * 5000, [], {},
    [[]], {"x": 1}, {"x": 1, "y": 2}, "\u0000", "\ud83d", ["a"], [None] * 3,
]  # fmt: skip


def damaged(rng: random.Random) -> bytes:
    """The sample's bytes after one to three accidents."""
    data = TEXT.encode()
    for _ in range(rng.randint(1, 3)):
        data = rng.choice([_flip, _cut, _swap, _replace_value, _nest, _repeat])(data, rng)
    return data


def _flip(data: bytes, rng: random.Random) -> bytes:
    flipped = bytearray(data)
    for _ in range(rng.randint(1, 4)):
        if flipped:
            flipped[rng.randrange(len(flipped))] = rng.choice([rng.randrange(256), 34, 44, 125])
    return bytes(flipped)


def _cut(data: bytes, rng: random.Random) -> bytes:
    start = rng.randrange(len(data) + 1)
    return data[:start] + data[start + rng.choice([1, 10, len(data)]) :]


def _swap(data: bytes, rng: random.Random) -> bytes:
    words = data.split(b" ")
    first, second = rng.randrange(len(words)), rng.randrange(len(words))
    words[first], words[second] = words[second], words[first]
    return b" ".join(words)


def _replace_value(data: bytes, rng: random.Random) -> bytes:
    try:
        document = json.loads(data)
    except (ValueError, RecursionError):
        return data
    spots = [
        (record, key)
        for record in _records(document)
        for key in (record if isinstance(record, dict) else range(len(record)))
    ]
    if spots:
        record, key = rng.choice(spots)
        record[key] = rng.choice(ODD_VALUES)
    return json.dumps(document).encode()


def _records(value: object) -> list:
    if not isinstance(value, dict | list):
        return []
    members = value.values() if isinstance(value, dict) else value
    return [value, *(record for member in members for record in _records(member))]


def _nest(data: bytes, rng: random.Random) -> bytes:
    depth = rng.choice([3, 40, 250, 3000])
    at = rng.randrange(len(data) + 1)
    return data[:at] + rng.choice([b"[" * depth, b'{"a":' * depth]) + data[at:]


def _repeat(data: bytes, rng: random.Random) -> bytes:
    lines = data.split(b"\n")
    at = rng.randrange(len(lines))
    return b"\n".join([*lines[:at], lines[at], *lines[at:]])


def test_2000_damaged_files_are_each_read_or_refused_in_one_sentence(tmp_path: Path) -> None:
    rng = random.Random(20)
    path = tmp_path / "bed.rill"
    refused = 0
    for _ in range(2000):
        data = damaged(rng)
        path.write_bytes(data)
        error = None
        try:
            design = read_design(path).design
        except DesignError as caught:
            error = caught
        if error:
            refused += 1
            assert is_one_plain_sentence(error.message), error.message
            assert error.message.startswith("'bed.rill' cannot be opened: ")
            assert all(fault.place and fault.text for fault in error.faults)
        else:
            assert parse_design(format_design(design)) == as_filed(design)
        assert path.read_bytes() == data
    assert refused > 1500

"""Colours that must be told from each other."""

import pytest

from designer.drawing.styles import DARK, LIGHT, STYLES, Colours, Role


def light(colour: str) -> float:
    """The relative luminance of WCAG 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def on_sheet(colours: Colours, style: str) -> str:
    """The colour that a style's fill makes on the sheet."""
    fill, opacity = STYLES[style].fill or "sheet", STYLES[style].opacity
    pairs = [(colours["sheet"][i : i + 2], colours[fill][i : i + 2]) for i in (1, 3, 5)]
    return "#" + "".join(
        f"{round(int(a, 16) * (1 - opacity) + int(b, 16) * opacity):02x}" for a, b in pairs
    )


@pytest.mark.parametrize("colours", [LIGHT, DARK])
@pytest.mark.parametrize("style", ["text", "rail", "block", "rim", "wall", "keep_free", "water"])
def test_what_is_chosen_stands_out_from_all_it_lies_on(colours: Colours, style: str) -> None:
    low, high = sorted((light(on_sheet(colours, style)), light(colours["chosen"])))
    assert (high + 0.05) / (low + 0.05) >= 3.0


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_what_is_chosen_has_a_colour_of_its_own(colours: Colours) -> None:
    others: list[Role] = [role for role in colours if role != "chosen"]
    assert colours["chosen"] not in {colours[role] for role in others}

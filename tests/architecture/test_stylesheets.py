"""The style sheets keep their promises: readable colours, named in one place, nothing tiny."""

import math
import re
from pathlib import Path

import pytest

STATIC = Path(__file__).parents[2] / "static"
SHEETS = sorted((STATIC / "css").rglob("*.css"))
TOKENS = (STATIC / "css" / "tokens.css").read_text()
THEMES = ("light", "dark")


def oklch_to_linear_srgb(lightness: float, chroma: float, hue: float) -> list[float]:
    """Björn Ottosson, "A perceptual color space for image processing" (2020), his matrices."""
    a, b = chroma * math.cos(math.radians(hue)), chroma * math.sin(math.radians(hue))
    long = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3
    middle = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3
    short = (lightness - 0.0894841775 * a - 1.2914855480 * b) ** 3
    rgb = (
        4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short,
        -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short,
        -0.0041960863 * long - 0.7034186147 * middle + 1.7076147010 * short,
    )
    return [min(1.0, max(0.0, part)) for part in rgb]


def luminance(token: str, theme: str) -> float:
    """Relative luminance as WCAG 2.2 defines it, from linear sRGB."""
    found = re.search(rf"--{token}: (.+);", TOKENS)
    assert found, f"tokens.css has no --{token}"
    if other := re.fullmatch(r"var\(--([\w-]+)\)", found.group(1)):
        return luminance(other.group(1), theme)
    colour = re.findall(r"oklch\(([\d.]+) ([\d.]+) ([\d.]+)\)", found.group(1))[THEMES.index(theme)]
    red, green, blue = oklch_to_linear_srgb(*map(float, colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str, theme: str) -> float:
    """Contrast ratio of WCAG 2.2, from 1 to 21."""
    dark, light = sorted((luminance(one, theme), luminance(other, theme)))
    return (light + 0.05) / (dark + 0.05)


GROUNDS = ("paper", "surface", "sunken")
TEXT_PAIRS = [(t, g) for t in ("ink", "ink-soft", "accent", "push", "pull") for g in GROUNDS] + [
    ("on-fill", "fill"),
    ("on-fill", "fill-strong"),
    ("accent", "accent-wash"),
    ("ink", "accent-wash"),
]
SHAPE_PAIRS = [
    (s, g) for s in ("line-strong", "focus", "push-fill", "pull-fill") for g in ("paper", "surface")
] + [("push-fill", "push-wash"), ("pull-fill", "pull-wash")]


def test_the_conversion_agrees_with_the_primaries_of_srgb():
    # CSS Color 4, section "Converting Colors": red is oklch(0.627955 0.257683 29.2339).
    red, green, blue = oklch_to_linear_srgb(0.627955, 0.257683, 29.2339)

    assert (red, green, blue) == pytest.approx((1, 0, 0), abs=1e-4)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("text", "ground"), TEXT_PAIRS)
def test_words_can_be_read_on_every_ground(text, ground, theme):
    # WCAG 2.2, success criterion 1.4.3: 4.5 to 1.
    assert contrast(text, ground, theme) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("shape", "ground"), SHAPE_PAIRS)
def test_borders_bars_and_textures_stand_out(shape, ground, theme):
    # WCAG 2.2, success criterion 1.4.11: 3 to 1.
    assert contrast(shape, ground, theme) >= 3


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_a_style_sheet_follows_the_house_rules(sheet):
    text = re.sub(r"/\*.*?\*/", "", sheet.read_text(), flags=re.DOTALL)

    own_colours = re.findall(r"#[0-9a-fA-F]{3,8}\b(?!.*\{)|\b(?:rgba?|hsla?|oklch|oklab)\(", text)
    tiny = [s for s in re.findall(r"font-size: ([\d.]+)rem", text) if float(s) * 16 < 14]

    assert sheet.name == "tokens.css" or not own_colours
    assert not tiny
    assert "!important" not in text
    assert len(sheet.read_text().splitlines()) <= 250


def test_every_style_sheet_is_imported_once():
    app = (STATIC / "css" / "app.css").read_text()

    imported = re.findall(r'@import url\("([\w/]+\.css)"\) layer', app)

    on_disk = {str(s.relative_to(STATIC / "css")) for s in SHEETS} - {"app.css"}
    assert len(imported) == len(set(imported))
    assert set(imported) == on_disk

"""Themes: every pair of colours that carries meaning keeps to WCAG 2.2 level AA."""

import itertools

import pytest

from trainer.window.theme import (
    AHEAD,
    DAY,
    FULLEST,
    NIGHT,
    SHAPE_CONTRAST,
    TEXT_CONTRAST,
    THEMES,
    TINT,
    Colour,
    Theme,
    colour,
    contrast,
    luminance,
    mixed,
)

BOTH = pytest.mark.parametrize("theme", THEMES.values(), ids=THEMES)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),
        ("#ffffff", "#ffffff", 1.0),
        ("#777777", "#ffffff", 4.48),
        ("#767676", "#ffffff", 4.54),
        ("#949494", "#ffffff", 3.03),
    ],
)
def test_contrast_is_that_of_wcag(one: str, other: str, ratio: float) -> None:
    """WCAG 2.2, "contrast ratio": 21:1 for black on white; #767676 is the lightest grey that is 4.5:1 on white.

    The greys are the ones the W3C's techniques and checkers are known by (from memory).
    """
    assert contrast(colour(one), colour(other)) == pytest.approx(ratio, abs=0.01)
    assert contrast(colour(other), colour(one)) == contrast(colour(one), colour(other))


def test_luminance_weighs_the_primaries_as_srgb_does() -> None:
    """IEC 61966-2-1 (sRGB) and WCAG 2.2, "relative luminance": 0.2126 R + 0.7152 G + 0.0722 B."""
    primaries = [luminance(colour(code)) for code in ("#ff0000", "#00ff00", "#0000ff")]
    assert primaries == pytest.approx([0.2126, 0.7152, 0.0722])


@BOTH
def test_text_stands_out_from_everything_it_stands_on(theme: Theme) -> None:
    """WCAG 2.2, success criterion 1.4.3: at least 4.5:1."""
    for back in theme.backs:
        for name in ("ink", "dim", "boost", "cut", "right", "wrong"):
            assert contrast(getattr(theme, name), back) >= TEXT_CONTRAST, (name, back)
    for filled in (theme.ink, theme.right, theme.wrong):
        assert contrast(theme.panel, filled) >= TEXT_CONTRAST
        assert contrast(theme.ground, filled) >= TEXT_CONTRAST


@BOTH
def test_shapes_stand_out_from_everything_they_stand_on(theme: Theme) -> None:
    """WCAG 2.2, success criterion 1.4.11: at least 3:1 for what is needed to know a control or its state."""
    for back in theme.backs:
        for name in ("edge", "focus", "ink", "boost", "cut", "right", "wrong"):
            assert contrast(getattr(theme, name), back) >= SHAPE_CONTRAST, (name, back)


@BOTH
def test_text_stands_out_from_a_chosen_cell(theme: Theme) -> None:
    """The tint of a chosen cell, and the chalk of a full cell of the confusions, keep 4.5:1 for their text."""
    for tone in (theme.boost, theme.cut, theme.ink):
        tint = mixed(tone, theme.panel, TINT)
        assert contrast(tone, tint) >= TEXT_CONTRAST, (tone, tint)
        assert contrast(theme.ink, tint) >= TEXT_CONTRAST, (tone, tint)
    for ground in (theme.lane, theme.panel):
        assert contrast(theme.ink, mixed(theme.ink, ground, FULLEST)) >= TEXT_CONTRAST


@BOTH
def test_the_waveform_shows_what_has_sounded(theme: Theme) -> None:
    """What is ahead of the playhead stays a shape to be seen (3:1), and differs from what is behind it."""
    ahead = mixed(theme.ink, theme.panel, AHEAD)
    assert contrast(theme.ink, ahead) >= SHAPE_CONTRAST


LMS = ((0.31399, 0.63951, 0.04650), (0.15537, 0.75789, 0.08670), (0.01775, 0.10945, 0.87257))
"""Linear sRGB to the cones' responses (Hunt-Pointer-Estevez, normalised to D65; from memory)."""


def seen(of: Colour, *, missing: int) -> tuple[float, ...]:
    """Return how the two cones that are left respond."""
    linear = [(v / 255.0) / 12.92 if v <= 10 else ((v / 255.0 + 0.055) / 1.055) ** 2.4 for v in of]
    cones = [sum(weight * value for weight, value in zip(row, linear, strict=True)) for row in LMS]
    return tuple(response for number, response in enumerate(cones) if number != missing)


@BOTH
@pytest.mark.parametrize("missing", [0, 1], ids=["protan", "deutan"])
def test_boost_and_cut_differ_without_red_or_green_cones(theme: Theme, missing: int) -> None:
    """The response of the short-wave cones, which colour-blind eyes of both common kinds have, differs twofold."""
    boost, cut = seen(theme.boost, missing=missing), seen(theme.cut, missing=missing)
    assert max(boost[-1], cut[-1]) > 2.0 * min(boost[-1], cut[-1])


def test_night_is_dark_and_day_is_light() -> None:
    assert max(map(luminance, NIGHT.backs)) < 0.05
    assert min(map(luminance, DAY.backs)) > 0.7
    assert NIGHT.key != DAY.key


def test_a_colour_is_mixed_from_nothing_to_all() -> None:
    for one, other in itertools.permutations((NIGHT.ink, NIGHT.panel), 2):
        assert mixed(one, other, 0.0) == other
        assert mixed(one, other, 1.0) == one

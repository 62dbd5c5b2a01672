"""The window's settings: kept whole, and never a reason not to start."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.window.settings import FILE_NAME, TEXT_SIZES, Settings, load_settings, save_settings

ANY = st.builds(
    Settings,
    learner=st.text(max_size=40),
    theme=st.sampled_from(["night", "day"]),
    text_percent=st.sampled_from(TEXT_SIZES),
    device=st.text(max_size=60),
    quick_flips=st.booleans(),
    full_screen=st.booleans(),
)


@given(ANY)
def test_what_is_kept_is_found_again(tmp_path_factory: pytest.TempPathFactory, settings: Settings) -> None:
    folder = tmp_path_factory.mktemp("settings")
    save_settings(folder, settings)
    assert load_settings(folder) == settings


@pytest.mark.parametrize("text", ["", "theme = 3", "theme = 'beach'", "text_percent = true", "= [", "\x00"])
def test_what_makes_no_sense_is_as_at_first(tmp_path: Path, text: str) -> None:
    (tmp_path / FILE_NAME).write_text(text, encoding="utf-8")
    assert load_settings(tmp_path) == Settings()


def test_one_damaged_setting_leaves_the_others(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_text("learner = 'Heron'\ntext_percent = 160\n", encoding="utf-8")
    assert load_settings(tmp_path) == replace(Settings(), learner="Heron")


def test_a_folder_that_cannot_be_written_is_no_reason_to_stop(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    save_settings(tmp_path / "file", Settings())
    assert load_settings(tmp_path / "file") == Settings()


def test_text_grows_and_shrinks_step_by_step_and_stays_in_range() -> None:
    settings = Settings()
    sizes = [settings.text_percent]
    for _ in range(4):
        settings = settings.with_text(1)
        sizes.append(settings.text_percent)
    assert sizes == [100, 125, 150, 175, 175]
    assert Settings().with_text(-1).text_percent == 100

"""What a quiz is wished to be: options and TOML, and what is refused of them."""

from pathlib import Path

import pytest

from tests.season.quizzes import EXERCISES
from trainer.refusal import Refused
from trainer.season.quiz_wish import QuizPart, QuizWish, part_of, read_wish


def read(tmp_path: Path, text: str) -> QuizWish:
    path = tmp_path / "week-3.toml"
    path.write_text(text, encoding="utf-8")
    return read_wish(path, EXERCISES, show="field-show", seed=7)


def test_an_empty_file_is_the_usual_quiz(tmp_path: Path) -> None:
    part = QuizPart("octave-tone", 30, 4.0, 6.0, "mix")
    assert read(tmp_path, "") == QuizWish("week-3", "field-show", 7, (part,))


def test_a_file_says_all_there_is_to_say(tmp_path: Path) -> None:
    wish = read(
        tmp_path,
        """
        title = "Drumline, 第3週"
        show = "indoor-percussion"
        seed = 12
        [[part]]
        exercise = "level"
        items = 8
        sizes = [3, 6]
        on = "stem"
        [[part]]
        exercise = "octave-tone"
        items = 10
        sizes = [5]
        """,
    )
    parts = (QuizPart("level", 8, 3.0, 6.0, "stem"), QuizPart("octave-tone", 10, 5.0, 5.0, "mix"))
    assert wish == QuizWish("Drumline, 第3週", "indoor-percussion", 12, parts)


SLIPS = {
    "titel = 'x'": "'titel' is none of title, show, seed, part; did you mean 'title'",
    "title = 3": "title cannot be 3",
    "title = ''": "a quiz's title has 1 to 60 letters",
    "seed = -1": "seeds run from 0",
    "seed = true": "seed cannot be True",
    "part = 3": "part cannot be 3",
    "part = [3]": "a part is a table",
    "[[part]]\nexercise = 'octave-tones'": "part 1: there is no exercise 'octave-tones'",
    "[[part]]\nitems = 0": "part 1: a part of a quiz has 1 to 60 items, not 0",
    "[[part]]\nitems = 61": "a part of a quiz has 1 to 60 items",
    "[[part]]\nitems = 40\n[[part]]\nitems = 40": "a quiz has 1 to 60 items, not 80",
    "[[part]]\nsizes = [4, 'six']": "as in [4, 6], not [4, 'six']",
    "[[part]]\nsizes = [6, 4]": "from a smaller one above 0 to a larger, not from 6 to 4",
    "[[part]]\nsizes = [4, 40]": "a size of 40 dB is off the ladder",
    "[[part]]\nsizes = [0, 4]": "above 0",
    "[[part]]\non = 'field'": "on is one of mix, section, stem, not 'field'",
    "[[part]]\nexercise = 'level'\non = 'mix'": "level is asked on a section or a stem, not on 'mix'",
    "[[part]]\nsize = [4, 6]": "did you mean 'sizes'",
    "title = ": "week-3.toml is no TOML file",
}


@pytest.mark.parametrize("text", SLIPS)
def test_a_slip_in_a_file_is_told_in_one_sentence(tmp_path: Path, text: str) -> None:
    with pytest.raises(Refused) as told:
        read(tmp_path, text)
    assert SLIPS[text] in str(told.value)
    assert "\n" not in str(told.value).partition("(")[0]


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"nowhere.toml cannot be read: No such file"):
        read_wish(tmp_path / "nowhere.toml", EXERCISES, show="field-show", seed=7)


def test_a_part_without_a_wish_is_on_the_widest_scope_at_the_ladders_start() -> None:
    assert part_of(EXERCISES["level"], items=4) == QuizPart("level", 4, 6.0, 6.0, "section")

"""A list and a control answered in a terminal: row by row, in one line, changed and removed; then revealed."""

from collections.abc import Sequence
from datetime import UTC, datetime

import pytest

from tests.clock import Clock
from tests.dealt import dealt_block
from tests.fakes import RecordingPlayer
from tests.list_exercise import EXERCISE, KEY
from tests.noise_show import SameNoise
from trainer.practice.attempt import Attempt
from trainer.practice.control_field import ControlField
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Focus, Question
from trainer.practice.fields import BandField, DirectionField, Field
from trainer.practice.list_field import ListField
from trainer.practice.rep_code import RepSpec
from trainer.practice.values import Answer, rows_in
from trainer.text.answering import Answering
from trainer.text.drill import TextDrill
from trainer.text.lines import Leave

LISTED = ListField((BandField(), DirectionField()), 2)
DELAY = ControlField("delay", "delay", "ms", 0.0, 40.0, 0.5, 1.0)
BOOST_500, CUT_2K = {"band": 500.0, "direction": "boost"}, {"band": 2000.0, "direction": "cut"}


def answered(fields: Sequence[Field], *typed: str) -> tuple[Answer | None, list[str]]:
    """Return what came of lines typed at a question with these fields, and all that was asked and said."""
    lines, said = iter(typed), []

    def ask(prompt: str) -> str | None:
        said.append(prompt)
        return next(lines, None)

    question = Question("?", tuple(fields), "mix", 6.0, "mix")
    answering = Answering(RecordingPlayer(), ask, said.append, -24.0)
    answer = answering.answer(question, flipped=lambda: None)
    assert next(lines, None) is None, "every line was taken"
    return answer, said


@pytest.fixture(scope="module")
def rep() -> Rep:
    return deal(RepSpec(KEY, "noise", 3, Focus(9.0, "mix")), EXERCISE, SameNoise())


def test_rows_are_typed_one_after_the_other_until_enter() -> None:
    answer, said = answered((LISTED,), "a", "500 boost", "2k cut", "")
    assert answer == {"changes": (BOOST_500, CUT_2K)}
    assert "row 1 (octave band / direction), or nothing\n> " in said
    assert "row 2 (octave band / direction), Enter when done, r1 changes row 1, x1 removes row 1\n> " in said
    assert "1: 500 Hz boost · 2: 2 kHz cut" in said
    assert said[-1].startswith("all 2 rows are written")


@pytest.mark.parametrize(
    ("typed", "rows"),
    [
        (("500 boost", "r1", "2k cut", ""), (CUT_2K,)),
        (("500 boost", "r1", "", ""), (BOOST_500,)),
        (("500 boost", "2k cut", "x1", ""), (CUT_2K,)),
        (("500 boost", "x1", "2k cut", ""), (CUT_2K,)),
        (("500 boost", "nothing"), ()),
        (("nothing",), ()),
        (("5 1", "7, 2", ""), (BOOST_500, CUT_2K)),
    ],
)
def test_rows_are_changed_and_removed(typed: Sequence[str], rows: Sequence[object]) -> None:
    answer, _ = answered((LISTED,), "a", *typed)
    assert answer == {"changes": tuple(rows)}


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("", "nothing"), "There is no row yet. Type one, or nothing if you hear nothing."),
        (("500", "nothing"), "'500' is no answer; an answer in one line is: octave band, direction."),
        (("500 up", "nothing"), "'up' is none of: boost, cut."),
        (("r2", "nothing"), "there is no row 2; 0 are written."),
        (("x0", "nothing"), "there is no row 0; 0 are written."),
        (
            ("500 boost", "2k cut", "1k cut", ""),
            "there is room for 2 rows; change one (r1) or remove one (x1).",
        ),
        (
            ("500 boost", "r1", "2k", ""),
            "'2k' is no answer; an answer in one line is: octave band, direction.",
        ),
    ],
)
def test_what_cannot_be_a_row_is_told_and_asked_for_again(typed: Sequence[str], told: str) -> None:
    answer, said = answered((LISTED,), "a", *typed)
    assert answer is not None
    assert told in said


@pytest.mark.parametrize(
    ("typed", "rows"),
    [
        ("500 boost; 2k cut", (BOOST_500, CUT_2K)),
        ("2 kHz cut ; 500 boost", None),
        ("500 boost", (BOOST_500,)),
        ("nothing", ()),
    ],
)
def test_a_list_in_one_line(typed: str, rows: Sequence[object] | None) -> None:
    if rows is None:
        answer, said = answered((LISTED,), typed, "g")
        assert answer is None
        assert any("is no answer" in line for line in said)
    else:
        answer, _ = answered((LISTED,), typed)
        assert answer == {"changes": tuple(rows)}


def test_leaving_in_the_middle_of_a_list_leaves() -> None:
    with pytest.raises(Leave):
        answered((LISTED,), "a", "500 boost", "q")


@pytest.mark.parametrize("typed", [("12.4",), ("a", "12.4 ms"), ("a", "soon", "99", "12.5")])
def test_a_control_is_typed_as_a_number_on_its_steps(typed: Sequence[str]) -> None:
    answer, said = answered((DELAY,), *typed)
    assert answer == {"delay": 12.5}
    if len(typed) > 2:
        assert "'soon' is no number of ms." in said
        assert "the delay runs from 0 to 40 ms, not to 99.0." in said


def test_a_list_beside_another_field_in_one_line() -> None:
    answer, _ = answered((LISTED, DELAY), "500 boost; 2k cut | 3")
    assert answer == {"changes": (BOOST_500, CUT_2K), "delay": 3.0}


def test_a_whole_block_of_lists(rep: Rep) -> None:
    """Half of the changes found, then all of them in the other order, then given up."""
    first, second = rows_in(rep.answer, KEY)
    one, other = (f"{row['band']:g} {row['direction']}" for row in (first, second))
    typed = iter(["", "a", one, "", "y", "", f"{other}; {one}", "", "g", ""])
    said: list[str] = []

    def ask(prompt: str) -> str | None:
        said.append(prompt)
        return next(typed, None)

    kept: list[Attempt] = []
    clock = Clock(datetime(2030, 9, 2, 18, tzinfo=UTC))
    block = dealt_block([rep, rep, rep], remember=kept.append, clock=clock)
    TextDrill(block, Answering(RecordingPlayer(), ask, said.append, -24.0), now=clock).run()
    assert [attempt.given_answer for attempt in kept] == [
        {KEY: (first,)},
        {KEY: (second, first)},
        {},
    ]
    assert [attempt.right for attempt in kept] == [False, True, False]
    assert [[one.named for one in attempt.evidence] for attempt in kept] == [
        [True, False],
        [True, True],
        [False, False],
    ]
    assert 0.0 < kept[0].score < 1.0
    words = rep.question.fields[0].label((first, second))
    assert f"Not quite. It was: {words} (size 9 dB)." in said
    assert any(line.startswith("Right: ") for line in said)
    assert f"It was: {words} (size 9 dB)." in said
    assert any("up to 4 rows with ; between, or nothing" in line for line in said)

"""A quiz for tests whose items are answered with a list of changes, a control's position, or one of thirty bands."""

from dataclasses import dataclass
from functools import cache

from numpy.random import Generator

from tests.noise_show import NoiseShow
from tests.season.quizzes import EXERCISES, quiz_of
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.band_scale import OCTAVE_SCALE, THIRD_SCALE
from trainer.practice.change import MIX, Bell, Change, Edit
from trainer.practice.control_field import ControlField
from trainer.practice.deal import Rep, deal
from trainer.practice.evidence import Evidence, Told
from trainer.practice.exercise import AnswerGiven, Draw, Exercise, Focus, Ladder, Question
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.list_field import ListField
from trainer.practice.naming import named_by
from trainer.practice.rep_code import RepSpec
from trainer.practice.values import Answer, Row, number_in, rows_in
from trainer.season.quiz import Quiz

LADDER = Ladder("boost or cut", "dB", easiest=12.0, hardest=3.0, step=0.5, start=6.0)
LIST = ListField((BandField(), DirectionField()), most=4)
GAIN = ControlField("gain", "gain", "dB", low=-12.0, high=12.0, step=0.5, tolerance=1.0)
THIRD = BandField(THIRD_SCALE.names_hz, "band", "third-octave band", THIRD_SCALE)


def _draw_changes(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001 - the interface's shape
    """Draw two bands that do not touch, each boosted or cut."""
    low = int(rng.integers(2, 5))
    rows = tuple(
        {"band": OCTAVE_SCALE.names_hz[place], "direction": str(rng.choice(("boost", "cut")))}
        for place in (low, low + 3)
    )
    question = Question(
        "In the full mix: which octave bands are boosted or cut?", (LIST,), MIX, focus.size, "mix"
    )
    return Draw(question, {"changes": rows}, bands={float(row["band"]): 0.5 for row in rows})


def _change_of_list(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the shape
    return Change(tuple(Edit(MIX, _bell(row, question.size)) for row in rows_in(answer, "changes")))


def _bell(row: Row, size_db: float) -> Bell:
    sign = 1.0 if row["direction"] == "boost" else -1.0
    return Bell(centre_hz=OCTAVE_SCALE.band(number_in(row, "band")).centre_hz, gain_db=sign * size_db)


def _evidence_of_list(answer: AnswerGiven) -> tuple[Evidence, ...]:
    """Say of each change whether it was found: what was said for it is the row of the same band."""
    said = {row["band"]: row["direction"] for row in rows_in(answer.given, "changes")} if answer.given else {}
    return tuple(
        Evidence(
            kind=answer.kind,
            size=answer.question.size,
            unit=answer.ladder.unit,
            start=answer.ladder.start,
            bands={number_in(row, "band"): 1.0},
            named=said.get(row["band"]) == row["direction"],
            among=(10.0, 2.0),
            told={"band": Told(row["band"], row["band"] if row["band"] in said else None)},
        )
        for row in rows_in(answer.right, "changes")
    )


def _remedy(answer: Answer, question: Question) -> str:  # noqa: ARG001 - the interface's shape
    return "parametric equalizer, back again"


def _draw_gain(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001 - the interface's shape
    """Draw a gain at 1 kHz, up or down by the size."""
    gain_db = focus.size * float(rng.choice((1.0, -1.0)))
    question = Question("How far is 1 kHz boosted or cut?", (GAIN,), MIX, focus.size, "mix")
    return Draw(question, {"gain": gain_db}, bands={1000.0: 1.0})


def _change_of_gain(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the shape
    return Change((Edit(MIX, Bell(centre_hz=1000.0, gain_db=number_in(answer, "gain"))),))


def _draw_third(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001 - the interface's shape
    """Draw one of the three bands of the octave that is wished for."""
    octave_hz = focus.band_hz or 1000.0
    band_hz = float(rng.choice(THIRD_SCALE.within(octave_hz)))
    direction = "boost" if focus.direction == 1 else "cut"
    question = Question(
        "Which third-octave band is boosted or cut?", (THIRD, DirectionField()), MIX, focus.size, "mix"
    )
    return Draw(question, {"band": band_hz, "direction": direction}, bands={octave_hz: 1.0})


def _change_of_third(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the shape
    sign = 1.0 if answer["direction"] == "boost" else -1.0
    centre_hz = THIRD_SCALE.band(number_in(answer, "band")).centre_hz
    return Change((Edit(MIX, Bell(centre_hz=centre_hz, gain_db=sign * question.size)),))


CHANGES = Exercise(
    "changes", "changes", "Hear several changes at once.", ("mix",), LADDER, _draw_changes, _change_of_list, _remedy,
    _evidence_of_list,
)  # fmt: skip
FADER = Exercise(
    "fader", "fader", "Set a fader by ear.", ("mix",), LADDER, _draw_gain, _change_of_gain, _remedy, named_by("gain")
)  # fmt: skip
THIRDS = Exercise(
    "thirds", "thirds", "Hear narrow bands.", ("mix",), LADDER, _draw_third, _change_of_third, _remedy,
    named_by("band", "direction"),
)  # fmt: skip
ALL = {**EXERCISES, **{one.key: one for one in (CHANGES, FADER, THIRDS)}}
ASKED = (CHANGES, FADER, THIRDS, EXERCISES["octave-tone"])


@dataclass(frozen=True)
class Made:
    """A quiz with the reps it was made from."""

    quiz: Quiz
    reps: tuple[Rep, ...]


@cache
def made_of_everything() -> Made:
    """Return a quiz of four items: a list, a control, a third-octave band, an octave tone; on noise."""
    reps = tuple(
        deal(RepSpec(one.key, "noise", seed, Focus(6.0, "mix", 1000.0, 1)), one, NoiseShow())
        for seed, one in enumerate(ASKED, 1)
    )
    return Made(quiz_of(reps, uid="1157" * 8), reps)

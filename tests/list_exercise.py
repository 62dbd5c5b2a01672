"""An exercise for tests only: two octave bands of the mix are changed at once, and all changes are to be listed."""

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.change import MIX, Bell, Change, Edit
from trainer.practice.evidence import WAYS, Evidence
from trainer.practice.exercise import AnswerGiven, Draw, Exercise, Focus, Ladder, Question
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.list_field import ListField
from trainer.practice.values import Answer, Row, number_in, rows_in, text_in

CHANGES = 2
MOST = 4
KEY = "changes"


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001 - the interface's shape
    """Change two octave bands, each one way."""
    bands = BandField(focus.listening.usable_hz)
    directions = DirectionField()
    listed = ListField((bands, directions), MOST, KEY)
    chosen = rng.choice(len(bands.options), CHANGES, replace=False)
    rows = tuple(
        {"band": bands.options[place], "direction": directions.options[rng.integers(2)]} for place in chosen
    )
    question = Question(
        text="Which octave bands of the mix are changed, and which way? List every change you hear.",
        fields=(listed,),
        target=MIX,
        size=focus.size,
        scope="mix",
    )
    return Draw(question, {KEY: rows}, bands={number_in(row, "band"): 1 / CHANGES for row in rows})


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Put a bell on each listed band."""
    return Change(tuple(Edit(question.target, _bell(row, question.size)) for row in rows_in(answer, KEY)))


def _bell(row: Row, size_db: float) -> Bell:
    sign = 1.0 if row["direction"] == "boost" else -1.0
    return Bell(centre_hz=OCTAVE_SCALE.band(number_in(row, "band")).centre_hz, gain_db=sign * size_db)


def remedy(answer: Answer, question: Question) -> str:
    """Name the equalizer bands that take it back."""
    backs = (f"{row['band']:g} Hz {'cut' if row['direction'] == 'boost' else 'boost'}"
             for row in rows_in(answer, KEY))  # fmt: skip
    return f"mix bus: parametric equalizer, {', '.join(backs)} by {question.size:g} dB"


def evidence(answer: AnswerGiven) -> tuple[Evidence, ...]:
    """Return one piece of evidence for each change that there was: found, or missed."""
    said = rows_in(answer.given, KEY) if answer.given is not None else ()
    (listed,) = answer.question.fields
    assert isinstance(listed, ListField)
    return tuple(
        Evidence(
            kind=answer.kind,
            size=answer.question.size,
            unit=answer.ladder.unit,
            bands={number_in(row, "band"): 1.0},
            named=row in said,
            among=tuple(float(len(one.options)) for one in listed.of),
            direction=WAYS[text_in(row, "direction")],
        )
        for row in rows_in(answer.right, KEY)
    )


EXERCISE = Exercise(
    key=KEY,
    title="list of changes",
    purpose="Hear two changes at once, and write both down.",
    scopes=("mix",),
    ladder=Ladder(quantity="boost or cut", unit="dB", easiest=15.0, hardest=3.0, step=0.5, start=9.0),
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=evidence,
)

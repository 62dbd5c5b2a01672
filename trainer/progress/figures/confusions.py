"""What was said for what it was: confusions over the octave bands, or over any other field."""

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.attempt import Attempt
from trainer.practice.values import Value


@dataclass(frozen=True, slots=True)
class Confusions:
    """Counts of answers: a row for what was true, a column for what was said.

    Attributes
    ----------
    keys
        The options, in the order of rows and columns.
    counts
        ``counts[i][j]``: how often ``keys[i]`` was true and ``keys[j]`` was said.
    unsaid
        Row by row, how often none of the options was said: the learner gave up.
    """

    field: str
    keys: tuple[Value, ...]
    counts: tuple[tuple[int, ...], ...]
    unsaid: tuple[int, ...]

    @property
    def asked(self) -> tuple[int, ...]:
        """Row by row, how often it was true."""
        return tuple(sum(row) + unsaid for row, unsaid in zip(self.counts, self.unsaid, strict=True))

    @property
    def shares(self) -> tuple[tuple[float, ...], ...]:
        """The counts as shares of their row; zeros in a row never asked."""
        asked = (max(1, count) for count in self.asked)
        return tuple(
            tuple(count / whole for count in row) for row, whole in zip(self.counts, asked, strict=True)
        )


def confusions(attempts: Sequence[Attempt], *, field: str, keys: Sequence[Value] | None = None) -> Confusions:
    """Return the confusions over one field of the answers.

    Parameters
    ----------
    attempts
        Those whose right answer lacks the field, or is none of the ``keys``, are left out.
    field
        The field's key, such as ``direction``.
    keys
        The options to count; by default all that were true or said, numbers before words.
    """
    asked = [attempt for attempt in attempts if field in attempt.right_answer]
    order = tuple(keys) if keys is not None else _all_keys(asked, field)
    place = {key: number for number, key in enumerate(order)}
    counts = [[0] * len(order) for _ in order]
    unsaid = [0] * len(order)
    for attempt in asked:
        row, column = place.get(attempt.right_answer[field]), place.get(attempt.given_answer.get(field, ""))
        if row is not None and column is not None:
            counts[row][column] += 1
        elif row is not None:
            unsaid[row] += 1
    return Confusions(field, order, tuple(map(tuple, counts)), tuple(unsaid))


def band_confusions(attempts: Sequence[Attempt]) -> Confusions:
    """Return the confusions over the ten octave bands, of every exercise that asks for a band."""
    return confusions(attempts, field="band", keys=NOMINAL_HZ)


def _all_keys(attempts: Sequence[Attempt], field: str) -> tuple[Value, ...]:
    answers = [answer for attempt in attempts for answer in (attempt.right_answer, attempt.given_answer)]
    keys = {answer[field] for answer in answers if field in answer}
    return tuple(sorted(keys, key=lambda key: (isinstance(key, str), key)))

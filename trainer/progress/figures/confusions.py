"""What was said for what it was: confusions over the octave bands, or over the directions."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.evidence import BAND, Told
from trainer.practice.values import Simple


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

    of: str
    keys: tuple[Simple, ...]
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


def confusions(attempts: Iterable[Attempt], *, of: str, keys: Sequence[Simple] | None = None) -> Confusions:
    """Return the confusions over one thing that answers tell of.

    Parameters
    ----------
    attempts
        Those that tell nothing of it, or of none of the ``keys``, are left out.
    of
        What is told of: `evidence.BAND` or `evidence.DIRECTION`.
    keys
        The options to count; by default all that were true or said, numbers before words.
    """
    told = [one for attempt in attempts for evidence in attempt.evidence if (one := evidence.told.get(of))]
    order = tuple(keys) if keys is not None else _all_keys(told)
    place = {key: number for number, key in enumerate(order)}
    counts = [[0] * len(order) for _ in order]
    unsaid = [0] * len(order)
    for one in told:
        row, column = place.get(one.true), None if one.said is None else place.get(one.said)
        if row is not None and column is not None:
            counts[row][column] += 1
        elif row is not None:
            unsaid[row] += 1
    return Confusions(of, order, tuple(map(tuple, counts)), tuple(unsaid))


def band_confusions(attempts: Iterable[Attempt]) -> Confusions:
    """Return the confusions over the ten octave bands, of every exercise that asks for a band."""
    return confusions(attempts, of=BAND, keys=OCTAVE_SCALE.names_hz)


def _all_keys(told: Iterable[Told]) -> tuple[Simple, ...]:
    keys = {key for one in told for key in (one.true, one.said) if key is not None}
    return tuple(sorted(keys, key=lambda key: (isinstance(key, str), key)))

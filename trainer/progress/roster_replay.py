"""The ears of a whole roster from the log in one go: read once in the order of time, moved on together.

As in `trainer.progress.replay` the log alone decides, and each ear is the same to the last bit as alone.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from heapq import merge
from itertools import groupby

from trainer.progress.replay import Heard, Replayed, Row, keep_ears, kept_ears, since_of
from trainer.progress.rows import microseconds
from trainer.progress.running_tallies import DAY_US, day_of
from trainer.progress.store import Store
from trainer.progress.thresholds.ear import Ear, new_ear, on_day
from trainer.progress.thresholds.findings import COLUMNS, AttemptFindings, findings_in_row
from trainer.progress.thresholds.together import Together

FEW = 8
"""Up to so many learners are each looked for in the log by name; for more, all of it is read."""

_LEARNER, _AT_US = COLUMNS.index("learner"), COLUMNS.index("at_us")


def replayed_all(
    store: Store,
    learners: Iterable[str],
    *,
    today: date,
    heard: Heard = lambda _: None,
) -> dict[str, Replayed]:
    """Return the ears of many learners as they are today and as they were; days newly gone by are kept.

    Parameters
    ----------
    heard
        Told day by day of the log how many attempts were replayed so far.
    """
    kept = {name: kept_ears(store, name, today=today) for name in dict.fromkeys(learners)}
    fresh: dict[str, list[Ear]] = {name: [] for name in kept}
    now: dict[str, Ear] = {}
    number = 0
    # Who was never replayed needs all of the log; the others must not be made to read it again.
    for names in ([name for name in kept if kept[name]], [name for name in kept if not kept[name]]):
        together = Together([kept[name][-1] if kept[name] else new_ear() for name in names])
        for day, answers in _days(store, names, [since_of(kept[name]) for name in names]):
            together.hear(day, answers)
            if day < today:
                for place in answers:
                    fresh[names[place]].append(together.ear(place))
            number += sum(map(len, answers.values()))
            heard(number)
        now |= {name: on_day(together.ear(place), today) for place, name in enumerate(names)}
    for name, ears in fresh.items():
        keep_ears(store, name, ears)
    return {name: Replayed(now[name], (*kept[name], *fresh[name])) for name in kept}


def _days(
    store: Store, names: Sequence[str], sinces: Sequence[datetime | None]
) -> Iterator[tuple[date, dict[int, list[AttemptFindings]]]]:
    """Yield day by day what each of the learners, by place, answered since their time."""
    if not names:
        return
    place_of = {name: place for place, name in enumerate(names)}
    first_us = [0 if since is None else microseconds(since) for since in sinces]
    for number, of_day in groupby(_rows(store, names, sinces), key=lambda row: row[_AT_US] // DAY_US):
        answers: dict[int, list[AttemptFindings]] = {}
        for row in of_day:
            place = place_of.get(row[_LEARNER])
            if place is not None and row[_AT_US] >= first_us[place]:
                answers.setdefault(place, []).append(findings_in_row(row))
        if answers:
            yield day_of(number), answers


def _rows(store: Store, names: Sequence[str], sinces: Sequence[datetime | None]) -> Iterator[Row]:
    """Yield the attempts of the learners in the order of time; others' may be among them."""
    if len(names) <= FEW:
        mine = (
            store.log.columns(COLUMNS, learner=name, since=since)
            for name, since in zip(names, sinces, strict=True)
        )
        return merge(*mine, key=lambda row: row[_AT_US])
    known = [since for since in sinces if since is not None]
    since = min(known) if len(known) == len(sinces) else None
    return store.log.columns(COLUMNS, learners=names, since=since)

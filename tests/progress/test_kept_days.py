"""Kept days: states of ears are kept only while the log is as long as they say, and dropped as it changes."""

from datetime import date, timedelta

from tests.progress.made_up import START, attempt
from trainer.progress.store import Store

TODAY = START.date() + timedelta(days=30)
DAYS = tuple(START.date() + timedelta(days=day) for day in range(3))


def keep(store: Store, *states: tuple[date, str], made_by: str = "x") -> bool:
    """Keep states that have seen all of Heron's log."""
    seen = len(list(store.log.attempts(learner="Heron")))
    return store.ears.keep("Heron", states, made_by=made_by, seen=seen, before=START + timedelta(days=30))


def kept(store: Store, *, made_by: str = "x", before: date = TODAY) -> tuple[str, ...]:
    return store.ears.kept("Heron", made_by=made_by, before=before)


def answer_every_day(store: Store) -> None:
    store.log.add_all(attempt(number + 1, at=START + timedelta(days=number)) for number in range(3))


def test_what_is_kept_comes_back_by_day_or_the_last_alone(store: Store) -> None:
    answer_every_day(store)
    assert keep(store, *zip(DAYS, "abc", strict=True))
    assert kept(store) == ("a", "b", "c")
    assert kept(store, before=DAYS[2]) == ("a", "b")
    assert store.ears.kept("Heron", made_by="x", before=DAYS[2], only_last=True) == ("b",)
    assert store.ears.kept("Plover", made_by="x", before=TODAY) == ()


def test_a_day_kept_again_is_replaced_and_what_something_else_made_goes(store: Store) -> None:
    answer_every_day(store)
    keep(store, *zip(DAYS, "abc", strict=True))
    assert keep(store, (DAYS[1], "B"))
    assert kept(store) == ("a", "B", "c")
    assert keep(store, (DAYS[2], "d"), made_by="y")
    assert (kept(store), kept(store, made_by="y")) == ((), ("d",))


def test_an_attempt_added_takes_away_its_day_and_later_ones_of_its_learner_alone(store: Store) -> None:
    answer_every_day(store)
    keep(store, *zip(DAYS, "abc", strict=True))
    store.log.add(attempt(10, at=START + timedelta(days=1), learner="Plover"))
    assert kept(store) == ("a", "b", "c")
    store.log.add(attempt(11, at=START + timedelta(days=1, hours=1)))
    assert kept(store) == ("a",)


def test_what_is_kept_is_refused_where_the_log_has_grown_meanwhile(store: Store) -> None:
    answer_every_day(store)
    is_kept = store.ears.keep(
        "Heron", [(DAYS[0], "x")], made_by="x", seen=2, before=START + timedelta(days=30)
    )
    assert not is_kept
    assert kept(store) == ()

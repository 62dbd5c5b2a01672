"""Dealing ahead: the next rep is made before it is asked for, its error waits for it, and leaving waits for nobody."""

import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import cast

import pytest

from trainer.practice.ahead import Deal, DealtAhead, dealt_ahead
from trainer.practice.deal import Rep

ROOT = Path(__file__).parents[2]
LONG_S = 20.0
"""Longer than anything here takes; a test that waits as long has failed."""


class Made:
    """What the deals of these tests make: a name is all that is needed of a rep here."""

    def __init__(self, name: str) -> None:
        self.name = name


def deal_of(make: Callable[[int], Made]) -> Deal:
    return cast("Deal", make)


def named(rep: Rep) -> str:
    return cast("Made", rep).name


def at_once(name: str, begun: threading.Event | None = None) -> Deal:
    def make(_failures: int) -> Made:
        if begun is not None:
            begun.set()
        return Made(name)

    return deal_of(make)


def wait_until_ready(reps: DealtAhead) -> None:
    """Wait for the deal under way, taking nothing."""
    assert reps._waiting is not None
    reps._waiting.exception(timeout=LONG_S)


def test_the_first_deal_begins_before_it_is_asked_for_and_the_next_when_one_is_taken() -> None:
    begun = [threading.Event() for _ in range(3)]
    deals = [at_once(str(number), begun[number]) for number in range(3)]
    with dealt_ahead(deals) as reps:
        assert begun[0].wait(LONG_S)
        wait_until_ready(reps)
        assert not begun[1].is_set()
        assert named(next(reps)) == "0"
        assert begun[1].wait(LONG_S)
        assert [named(rep) for rep in reps] == ["1", "2"]
        assert not reps.is_ready


def test_it_is_ready_when_the_deal_is_done_or_failed() -> None:
    gate = threading.Event()

    def waits(failures: int) -> Made:
        assert gate.wait(LONG_S)
        if failures == 0:
            raise RuntimeError("not this time")
        return Made(f"after {failures}")

    with dealt_ahead([deal_of(waits)]) as reps:
        assert not reps.is_ready
        gate.set()
        wait_until_ready(reps)
        assert reps.is_ready


def test_an_error_waits_for_its_rep_and_the_next_try_knows_of_it() -> None:
    tried: list[int] = []

    def fails_twice(failures: int) -> Made:
        tried.append(failures)
        if failures < 2:
            raise RuntimeError(f"failure {failures}")
        return Made("well")

    with dealt_ahead([at_once("first"), deal_of(fails_twice), at_once("last")]) as reps:
        assert named(next(reps)) == "first"
        for number in range(2):
            with pytest.raises(RuntimeError, match=f"failure {number}"):
                next(reps)
        assert [named(rep) for rep in reps] == ["well", "last"]
        assert tried == [0, 1, 2]


def test_without_deals_there_is_no_rep() -> None:
    with dealt_ahead([]) as reps:
        assert not reps.is_ready
        assert list(reps) == []


def test_leaving_does_not_wait_for_a_deal_under_way_and_begins_no_other() -> None:
    begun, gate = threading.Event(), threading.Event()
    ended = threading.Event()

    def waits(_failures: int) -> Made:
        begun.set()
        assert gate.wait(LONG_S)
        ended.set()
        return Made("too late")

    other = threading.Event()
    with dealt_ahead([deal_of(waits), at_once("other", other)]) as reps:
        assert begun.wait(LONG_S)
    assert not ended.is_set()
    assert list(reps) == []
    gate.set()
    assert ended.wait(LONG_S)
    assert not other.is_set()


LEFT_MIDWAY = """
import sys, threading
from trainer.practice.ahead import dealt_ahead
begun, gate = threading.Event(), threading.Event()
def waits(failures):
    begun.set()
    gate.wait(20.0)
    print("the deal ended", flush=True)
with dealt_ahead([waits, waits]):
    begun.wait(20.0)
print("left", flush=True)
threading.Timer(0.05, gate.set).start()
"""


def test_a_process_ends_cleanly_when_a_deal_is_still_under_way() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LEFT_MIDWAY], cwd=ROOT, capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.split("\n") == ["left", "the deal ended", ""]

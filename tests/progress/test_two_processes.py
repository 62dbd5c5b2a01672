"""Two processes that answer into one store at once, as fast as they can, for some seconds.

For a minute, with what each of them reached:

    YARDLINE_TWO_PROCESSES_S=60 python -m pytest tests/progress/test_two_processes.py -s
"""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from tests.progress.made_up import START, uid_of
from trainer.progress.store import open_store
from trainer.progress.tallies import tallies_of

ROOT = Path(__file__).parents[2]
LENGTH_S = float(os.environ.get("YARDLINE_TWO_PROCESSES_S", "3"))
APART = 10_000_000
"""From the first number of one process to that of the other."""

ANSWERING = """
import json, sys, time
from datetime import UTC, datetime
from tests.progress.made_up import attempt
from trainer.progress.store import open_store
path, first, length_s = sys.argv[1], int(sys.argv[2]), float(sys.argv[3])
count, slowest_s = 0, 0.0
with open_store(path, now=datetime(2031, 2, 3, tzinfo=UTC)) as store:
    print("ready", flush=True)
    sys.stdin.readline()
    begun_s = now_s = time.monotonic()
    while now_s - begun_s < length_s:
        assert store.log.add(attempt(first + count, right=count % 2 == 0))
        count, before_s, now_s = count + 1, now_s, time.monotonic()
        slowest_s = max(slowest_s, now_s - before_s)
        if count % 50 == 0:
            store.sums.tallies(learner="Heron")
print(json.dumps({"count": count, "slowest_s": slowest_s}))
"""


@dataclass(frozen=True)
class Answering:
    """A process that answers: what it is, and the number of its first answer."""

    process: "subprocess.Popen[str]"
    first: int

    def ended(self) -> dict[str, float]:
        """Return what it reached; it ended without an error."""
        out, _ = self.process.communicate()
        assert self.process.returncode == 0
        reached: dict[str, float] = json.loads(out)
        return reached


def answering(path: Path, first: int) -> Answering:
    command = [sys.executable, "-c", ANSWERING, str(path), str(first), str(LENGTH_S)]
    pipe = subprocess.PIPE
    return Answering(subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, text=True), first)


def test_two_processes_answering_at_once_lose_nothing_and_meet_no_lock(tmp_path: Path) -> None:
    """Every answer that was taken is there, the tallies are those of the log, and neither was ever turned away."""
    path = tmp_path / "yardline.sqlite"
    open_store(path, now=START).close()
    both = [answering(path, first) for first in (1, APART)]
    for one in both:
        assert one.process.stdout is not None
        assert one.process.stdout.readline() == "ready\n"
    for one in both:
        assert one.process.stdin is not None
        one.process.stdin.write("go\n")
        one.process.stdin.flush()
    reached = [one.ended() for one in both]
    for figures in reached:
        said = f"{figures['count'] / LENGTH_S:.0f} answers a second, the slowest {figures['slowest_s']:.3f} s"
        print(said)  # noqa: T201 - for whoever runs a minute of it
    expected = {
        uid_of(one.first + number)
        for one, figures in zip(both, reached, strict=True)
        for number in range(int(figures["count"]))
    }
    assert all(figures["count"] > 0 for figures in reached)
    with open_store(path, now=START) as store:
        log = list(store.log.attempts())
        assert {one.uid for one in log} == expected
        assert len(log) == len(expected)
        (kept,), (again,) = store.sums.tallies(learner="Heron"), tallies_of(log)
        assert (kept.asked, kept.right) == (again.asked, again.right)
        store.check()

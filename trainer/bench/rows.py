"""The rows of the benchmark and their budgets: a further row is a further line here."""

from collections.abc import Iterable

from trainer.bench import ears, flips, memories, music, processes, reps, staff, windows
from trainer.bench.row import Row
from trainer.refusal import Refused

ROWS: tuple[Row, ...] = (
    Row(
        "stems-cold", "stems of a 20-stem excerpt, new note bank", "x real time", music.cold,
        limit=20.0, more_is_better=True,
    ),
    Row(
        "stems-steady", "stems of a 20-stem excerpt, as a drill goes on", "x real time", music.steady,
        limit=45.0, ratio_limit=2.0, more_is_better=True,
    ),
    Row(
        "next-rep", "next rep from ready stems, one edited, matched, peak-checked", "ms", reps.next_rep,
        limit=60.0, ratio_limit=4.0,
    ),
    Row("deal", "a rep dealt from ready stems, audibility gate and all", "ms", reps.dealt),
    Row("flip", "flip plain/changed, until heard", "chunks", flips.heard_after, limit=2.0),
    Row("chunk", "rendering a chunk with flips", "ms", flips.chunk_cost),
    Row("start", "process start to what can be asked", "s", processes.start),
    Row("first-frame", "process start to the window's first frame", "s", windows.first_frame, limit=0.6),
    Row("first-sound", "process start to the first sound", "s", windows.first_sound, limit=1.5),
    Row("looping", "the window while a rep loops, of one core", "%", windows.looping, limit=15.0),
    Row(
        "soak", "gaps in the sound in ten minutes of a drill", "gaps", windows.soak, limit=0.0, is_long=True,
    ),
    Row("add", "remembering an answer, on the disk", "ms", memories.add),
    Row("progress", "progress by octave band", "s", memories.figures, limit=0.2),
    Row("update", "an answer taken in by the thresholds", "ms", ears.update, limit=1.0),
    Row("focus", "choosing what is asked next", "ms", ears.focus, limit=5.0),
    Row("replay", "the thresholds of 100 000 answers, replayed", "s", ears.replay, limit=30.0),
    Row(
        "roster-replay", "the thresholds of 150 learners and 1 000 000 answers, replayed", "s", staff.roster_replay,
        limit=35.0, is_long=True,
    ),
    Row(
        "page", "a learner's progress page among 1 000 000 answers, days kept", "ms", staff.page,
        limit=200.0, is_long=True,
    ),
    Row(
        "book", "the season book of 150 learners and 1 000 000 answers, nothing kept", "s", staff.book,
        limit=60.0, is_long=True,
    ),
    Row("memory", "memory while drilling, at most", "MB", processes.memory, limit=700.0),
)  # fmt: skip


def chosen_rows(names: Iterable[str], *, among: tuple[Row, ...] = ROWS) -> tuple[Row, ...]:
    """Return the rows of these names, in the table's order; where none is named, all that are not long.

    Raises
    ------
    Refused
        If there is no row of a name; the message says which there are.
    """
    wanted = set(names)
    known = [row.name for row in among]
    for name in sorted(wanted.difference(known)):
        raise Refused(f"there is no row {name!r}; there are {', '.join(known)}")
    return tuple(row for row in among if row.name in wanted or not (wanted or row.is_long))

"""A window that plays by itself: led through a drill by its own intents, in a process that measures itself."""

import json
import time
from dataclasses import asdict
from statistics import median, quantiles

from trainer.bench.windows import LEARNER, Report
from trainer.playback.device import DevicePlayer
from trainer.window.app import App, prepare_display
from trainer.window.control import Intent
from trainer.window.door import make_app
from trainer.window.session import Session
from trainer.window.state import Place

FLIP_EVERY_S = 1.5
ANSWER_EVERY_S = 12.0
SETTLED_S = 1.0


def play(seconds: float, *, is_soak: bool) -> None:
    """Lead a window to its first rep, let it play for so long, and print a `Report` as JSON.

    In a soak reps are answered as time goes by, so that the next ones are made while this one sounds;
    otherwise the rep loops, once the next one is made and nothing else is to be done.
    """
    prepare_display()
    app = make_app(learner=LEARNER)
    app.show()
    session = _to_the_first_rep(app)
    if not is_soak:
        _turn_for(app, SETTLED_S)
    print(json.dumps(asdict(_measured(app, session, seconds, answers=is_soak))))  # noqa: T201 - its result
    if app.opened is not None:
        app.opened.close()


def _to_the_first_rep(app: App) -> Session:
    while app.opened is None:
        app.turn()
    session = app.opened.session
    session.do(Intent("back"))
    session.do(Intent("start"))
    while session.drill is None or session.drill.rep is None or not session.drill.block.is_ready:
        app.turn()
    return session


def _turn_for(app: App, seconds: float) -> list[float]:
    """Run the window for so long; return how long each turn took."""
    until_s, worked_s = time.perf_counter() + seconds, []
    while time.perf_counter() < until_s:
        app.turn()
        worked_s.append(app.worked_s)
    return worked_s


def _measured(app: App, session: Session, seconds: float, *, answers: bool) -> Report:
    player = session.player
    late = player.late if isinstance(player, DevicePlayer) else 0
    worked_s: list[float] = []
    flips = answered = 0
    begun_s, begun_cpu_s = time.perf_counter(), time.process_time()
    while (gone_s := time.perf_counter() - begun_s) < seconds:
        worked_s += _turn_for(app, min(FLIP_EVERY_S, seconds - gone_s))
        session.do(Intent("flip"))
        flips += 1
        if answers and gone_s >= (answered + 1) * ANSWER_EVERY_S:
            answered += 1
            _answer(session)
    wall_s, cpu_s = time.perf_counter() - begun_s, time.process_time() - begun_cpu_s
    return Report(
        cpu_share=cpu_s / wall_s,
        pictures_a_second=len(worked_s) / wall_s,
        turn_ms=1e3 * median(worked_s),
        turn_99_ms=1e3 * quantiles(worked_s, n=100)[-1],
        late=(player.late - late) if isinstance(player, DevicePlayer) else 0,
        flips=flips,
        answers=answered,
    )


def _answer(session: Session) -> None:
    """Give up on the rep, look at the reveal for no time, and go on, to another block after the last."""
    session.do(Intent("give up"))
    session.do(Intent("next"))
    if session.place is Place.SUMMARY:
        session.do(Intent("start new", ()))

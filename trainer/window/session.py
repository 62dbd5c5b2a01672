"""The session: what the window knows, and what happens when somebody wants something.

Screens draw it and keys and presses become intents; everything is decided here, in the window's own thread.
No pygame here: a test drives it with intents alone.
"""

import traceback
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import replace
from datetime import datetime
from typing import Any

from trainer.assembly import LEVEL_SETTING, Assembly, start_level_db
from trainer.playback.care import BREAK_AFTER_S, LEVEL_STEP_DB
from trainer.playback.handover import hand_over
from trainer.playback.player import Player, Version
from trainer.practice.attempt import Value
from trainer.practice.block import Block
from trainer.practice.sitting import Sitting
from trainer.progress.names import learner_name
from trainer.progress.store import Store
from trainer.refusal import Refused
from trainer.sound import Sound
from trainer.window.chores import Chores
from trainer.window.control import Intent
from trainer.window.drill import Drill
from trainer.window.settings import Settings
from trainer.window.standing import Standing, standing_of
from trainer.window.state import Notice, Over, Place
from trainer.window.theme import THEMES

REPS = 10
"""How many reps a block has."""
LONGEST_NAME = 40
MOST_FAILURES = 4
"""After so many reps in a row that could not be made, a block is left."""
OpenSound = Callable[[Settings], tuple[Player, str]]


class Session:
    """One run of the window.

    Parameters
    ----------
    assembly, store
        The parts of the program, and its memory.
    chores
        Does work beside the window.
    open_sound
        Opens the player the settings ask for, and says what there is to say about it.
    level_sound
        Makes the sound a listening level is set with.
    devices
        Names the sound devices there are.
    settings, save
        What the window remembers, and what keeps it.
    learner
        Who drills, where that was said at the start; otherwise who was here last.
    suggested_name
        The name offered to somebody who was never here.
    begin_with
        Makes the sitting to begin with at once, where one was asked for at the start.
    """

    def __init__(
        self,
        *,
        assembly: Assembly,
        store: Store,
        chores: Chores,
        open_sound: OpenSound,
        level_sound: Callable[[], Sound],
        devices: Callable[[], tuple[str, ...]],
        settings: Settings,
        save: Callable[[Settings], None],
        suggested_name: str,
        begin_with: Callable[[Assembly, str], Sitting] | None = None,
        learner: str = "",
        now: Callable[[], datetime],
    ) -> None:
        self.assembly, self.store, self.settings = assembly, store, settings
        self.place, self.focus = Place.TODAY, ""
        self.over: Over | None = None
        self.notice: Notice | None = None
        self.learner = ""
        self.typed = ""
        self.standing: Standing | None = None
        self.drill: Drill | None = None
        self.to_go_on: Sitting | None = None
        self.reps_left = REPS
        self.known_learners: tuple[str, ...] = ()
        self.devices: tuple[str, ...] = ()
        self.level_db = 0.0
        self.is_over = False
        self.revision = 0
        self.waiting_since: datetime | None = None
        self.now = now
        self._chores, self._open_sound, self._save = chores, open_sound, save
        self._level_sound, self._devices = level_sound, devices
        self._ready: tuple[Sitting, Block, ExitStack] | None = None
        self._begin_with = begin_with
        self._failures = 0
        self._listened_before_s = self._rested_at_s = 0.0
        self.player, said = open_sound(settings)
        self._tell_of_sound(said)
        if learner or settings.learner:
            self._welcome(learner or settings.learner)
        else:
            self.typed = suggested_name
            self.go(Place.LEARNERS)

    # What is shown.

    @property
    def is_playing(self) -> bool:
        """Whether something moves on the page: a loop that sounds, or a rep being made."""
        waiting = self.drill is not None and self.drill.is_waiting and self.place is Place.REP
        return self.over is None and (self.player.is_playing or waiting)

    @property
    def exercises(self) -> tuple[str, ...]:
        """The keys of the exercises there are."""
        return tuple(self.assembly.catalogue.exercises)

    @property
    def listened_s(self) -> float:
        """For how long this session has sounded."""
        return self._listened_before_s + self.player.listened_s

    @property
    def device_words(self) -> str:
        """What is listened on, in a few words."""
        if self.player.where:
            return "no sound device: the sounds go to files"
        return self.settings.device or "default sound device"

    # What happens.

    def do(self, intent: Intent) -> None:
        """Do what somebody wants; what cannot be done becomes a notice, and nothing is lost."""
        self.revision += intent.do not in SEEN_LIVE
        if self.notice is not None and not self.notice.is_trouble:
            self.notice = None
        try:
            _ACTIONS[intent.do](self, intent.value)
        except Refused as why:
            self._tell("refused", f"{_sentence(why)} {self._what_is_safe()}")

    def tick(self) -> None:
        """Take in what was done beside the window, and what became of the sound."""
        changed = self._chores.settle()
        if self.drill is not None and self.place is Place.REP and self.over is None:
            changed = self._take() or changed
        if changed or self._watch_sound():
            self.revision += 1

    def close(self) -> None:
        """Let go of everything; what was answered is kept already."""
        self._keep_level()
        self._drop()
        self.player.close()
        self.store.close()

    # Places.

    def go(self, place: Place) -> None:
        """Go to a page."""
        left, self.place, self.focus, self.over = self.place, place, "", None
        if left is Place.SETUP:
            self.player.stop()
            self._keep_level()
        if place is Place.LEARNERS:
            self.known_learners = self.store.learners()
        if place is Place.SETUP:
            self.devices = self._devices()
            self.player.load({Version.PLAIN: self._level_sound()})
            self.player.play()
        if place is Place.TODAY and self._begin_with is not None:
            sitting, self._begin_with = self._begin_with(self.assembly, self.learner), None
            self._begin(sitting)
            return
        if place is Place.TODAY:
            self._prepare()
        if place in (Place.TODAY, Place.PROGRESS, Place.SUMMARY) and self.learner:
            self._look_up()

    def _back(self, _: object) -> None:
        """Esc: out of what lies over the page; out of a page; from a drill by way of a question."""
        if self.over is not None:
            self._resume(None)
        elif self.place in (Place.REP, Place.REVEAL):
            self._lay_over(Over.PAUSE)
        elif self.place is Place.TODAY or (self.place is Place.LEARNERS and not self.learner):
            self._lay_over(Over.LEAVE)
        else:
            self.go(Place.TODAY)

    def _lay_over(self, over: Over) -> None:
        self.over, self.focus = over, ""
        if over is not Over.KEYS:
            self.player.stop()

    def _resume(self, _: object) -> None:
        left, self.over, self.focus = self.over, None, ""
        self._focus_on_form()
        if left is Over.BREAK:
            self._next(None)
            return
        if self.place is Place.SETUP or (self.drill is not None and self.drill.rep is not None):
            self.player.play()

    def _quit(self, _: object) -> None:
        self.is_over = True

    # Learners.

    def _welcome(self, learner: str) -> None:
        """Let somebody in: their level, their figures, the block they left."""
        self._keep_level()
        self.learner, self.standing, self.typed = learner, None, ""
        self.level_db = start_level_db(self.store, learner)
        self.player.set_level(self.level_db)
        self._remember(replace(self.settings, learner=learner))
        is_new = self.store.get_setting(learner, LEVEL_SETTING) is None
        self._drop()
        self.go(Place.SETUP if is_new else Place.TODAY)

    def _choose_learner(self, name: Any) -> None:
        self._welcome(learner_name(str(name)))

    def _accept_name(self, _: object) -> None:
        if self.typed.strip():
            self._choose_learner(self.typed)

    def _type(self, letters: Any) -> None:
        self.typed = (self.typed + "".join(filter(str.isprintable, str(letters))))[:LONGEST_NAME]

    def _erase(self, _: object) -> None:
        self.typed = self.typed[:-1]

    def _look_up(self) -> None:
        learner = self.learner

        def found(standing: Standing) -> None:
            if learner == self.learner:
                self.standing = standing

        self._chores.do(lambda: standing_of(self.store, learner, now=self.now()), found, self._report)

    # Blocks.

    def _prepare(self) -> None:
        """Have the first rep made while the learner still looks at today's page."""
        if not self.learner or self.drill is not None:
            return
        self.to_go_on = self.assembly.open_sitting(self.store, self.learner)
        if self._ready is None:
            self._make_ready(self.to_go_on or self._new_sitting(self.exercises))
        if self._ready is not None:
            block = self._ready[1]
            self.reps_left = block.count - len(block.marks)

    def _new_sitting(self, exercises: tuple[str, ...]) -> Sitting:
        return self.assembly.new_sitting(self.learner, exercises, self.settings.show, REPS)

    def _make_ready(self, sitting: Sitting) -> None:
        self._drop()
        stack = ExitStack()
        self._ready = (sitting, stack.enter_context(self.assembly.block(self.store, sitting)), stack)

    def _drop(self) -> None:
        """Let go of the present block, if there is one."""
        self.drill = None
        if self._ready is not None:
            self._ready[2].close()
            self._ready = None

    def _begin(self, sitting: Sitting) -> None:
        self._make_ready(sitting)
        self._start(None)

    def _start(self, _: object) -> None:
        self._prepare()
        if self._ready is not None:
            sitting, block, _stack = self._ready
            self.drill = Drill(sitting, block, self.player, self._chores, self._report)
            self.waiting_since = self.now()
            self.go(Place.REP)

    def _start_new(self, exercises: Any) -> None:
        self._begin(self._new_sitting(tuple(exercises or self.exercises)))

    def _start_only(self, place: Any) -> None:
        if 0 <= int(place) < len(self.exercises):
            self._start_new((self.exercises[int(place)],))

    def _take(self) -> bool:
        """Take the next rep if it is there; where none can be made, leave the block with the reason.

        After a rep that cannot be made the block goes on to another, so a few failures are nothing to tell of.
        """
        assert self.drill is not None
        try:
            taken = self.drill.take()
        except Exception as why:  # an exercise may fail in any way; the block goes on to another one
            self._failures += 1
            if self._failures < MOST_FAILURES:
                return False
            self._drop()
            self.go(Place.TODAY)
            self._report(why)
            return True
        if taken:
            self._failures = 0
            self._focus_on_form()
        return taken

    def _next(self, _: object) -> None:
        """Go on from a reveal: to a break if it is time, to the next rep, or to the end."""
        if self.drill is None or self.drill.outcome is None:
            return
        if self.listened_s - self._rested_at_s >= BREAK_AFTER_S:
            self._rested_at_s = self.listened_s
            self._lay_over(Over.BREAK)
            return
        self.drill.go_on()
        self.waiting_since = self.now()
        self.go(Place.SUMMARY if self.drill.block.finished else Place.REP)

    def _leave_block(self, _: object) -> None:
        self.player.stop()
        self._keep_level()
        self._drop()
        self.go(Place.TODAY)

    def _done(self, _: object) -> None:
        self._drop()
        self.go(Place.TODAY)

    # The rep.

    def _form(self, work: Callable[[Any], None]) -> None:
        """Do something with the form while it can still be filled in."""
        if self.drill is not None and self.drill.form is not None and self.drill.outcome is None:
            work(self.drill.form)
            self._focus_on_form()

    def _focus_on_form(self) -> None:
        if self.drill is not None and self.drill.form is not None and self.place is Place.REP:
            self.focus = stop_of(self.drill.form.group.key)

    def _pick(self, picks: Any) -> None:
        chosen: Mapping[str, Value] = picks
        self._form(lambda form: form.pick(chosen))

    def _digit(self, number: Any) -> None:
        self._form(lambda form: form.digit(int(number)))

    def _arrow(self, way: Any) -> None:
        self._form(lambda form: form.arrow(*way))

    def _focus(self, stop: Any) -> None:
        self.focus = str(stop)
        form = self.drill.form if self.drill is not None else None
        for place, group in enumerate(form.groups if form else ()):
            if form is not None and stop_of(group.key) == stop:
                form.active = place

    def _answer(self, _: object) -> None:
        if self.drill is None:
            return
        if self.drill.answer():
            self._revealed()
        else:
            self._focus_on_form()

    def _give_up(self, _: object) -> None:
        if self.drill is not None and self.drill.rep is not None:
            self.drill.give_up()
            self._revealed()

    def _revealed(self) -> None:
        self.place, self.focus, self.notice = Place.REVEAL, "", None
        self._look_up()

    def _flip(self, _: object) -> None:
        if self.drill is not None:
            self.drill.flip()

    def _hear(self, version: Any) -> None:
        if self.drill is not None:
            self.drill.hear(Version(version))

    def _restart(self, _: object) -> None:
        self.player.restart()

    # The sound.

    def _level(self, steps: Any) -> None:
        self.level_db = min(0.0, max(-60.0, self.level_db + LEVEL_STEP_DB * int(steps)))
        self.player.set_level(self.level_db)

    def _keep_level(self) -> None:
        if self.learner:
            try:
                self.store.set_setting(self.learner, LEVEL_SETTING, self.level_db)
            except Refused as why:
                self._tell("store", f"The listening level could not be kept: {_sentence(why)}")

    def _watch_sound(self) -> bool:
        """Tell of a device that went away; say whether there is anything new."""
        told = self.notice is not None and self.notice.about == "sound"
        if not self.player.is_lost or told:
            return False
        words = f"{self.player.problem} {self._what_is_safe()} Plug it in again, or choose another one."
        self.notice = Notice("sound", words, way_on="Try again", intent=Intent("reopen"))
        return True

    def _reopen(self, _: object) -> None:
        """Open the sound again, and go on where it was."""
        old = self.player
        self._listened_before_s += old.listened_s
        old.close()
        self.player, said = self._open_sound(self.settings)
        self.player.set_level(self.level_db)
        hand_over(old, self.player)
        if self.drill is not None:
            self.drill.player = self.player
        self.notice = None
        self._tell_of_sound(said)

    def _appeared(self, _: object) -> None:
        """Take a device that was plugged in, if ours is gone."""
        if self.player.is_lost or self.player.where:
            self._reopen(None)

    # Settings.

    def _set(self, change: Any) -> None:
        before = self.settings
        self._remember(replace(self.settings, **dict(change)))
        if (before.device, before.quick_flips) != (self.settings.device, self.settings.quick_flips):
            self._reopen(None)
        if before.show != self.settings.show:
            self._drop()

    def _text(self, step: Any) -> None:
        self._remember(self.settings.with_text(int(step)))

    def _light(self, _: object) -> None:
        other = next(key for key in THEMES if key != self.settings.theme)
        self._remember(replace(self.settings, theme=other))

    def _full_screen(self, _: object) -> None:
        self._remember(replace(self.settings, full_screen=not self.settings.full_screen))

    def _remember(self, settings: Settings) -> None:
        if settings != self.settings:
            self.settings = settings
            self._save(settings)

    # Words.

    def _dismiss(self, _: object) -> None:
        self.notice = None

    def _tell(self, about: str, words: str) -> None:
        if words:
            self.notice = Notice(about, words)

    def _tell_of_sound(self, said: str) -> None:
        """Tell where the sound goes if not to the device, and offer to look for one again."""
        if said:
            self.notice = Notice("sound", said, way_on="Try again", intent=Intent("reopen"))

    def _what_is_safe(self) -> str:
        if self.drill is not None and self.drill.outcome is None and self.drill.rep is not None:
            return "What you picked is still here, and every answer before it is kept."
        return "Every answer you gave is kept."

    def _report(self, error: BaseException) -> None:
        """Tell of something that failed beside the window."""
        if isinstance(error, Refused):
            self._tell("refused", f"{_sentence(error)} {self._what_is_safe()}")
            return
        traceback.print_exception(error)
        self._tell("fault", f"Something went wrong in Yardline itself: {error!r}. {self._what_is_safe()}")


def stop_of(group_key: str) -> str:
    """Return the name of the keyboard's stop at a group of the answer form."""
    return f"field:{group_key}"


def _sentence(why: Refused) -> str:
    words = str(why).rstrip(".")
    return f"{words[:1].upper()}{words[1:]}."


SEEN_LIVE = ("flip", "hear", "restart")
"""What only changes the parts of a page that are kept up to date by themselves."""

Action = Callable[[Session, Any], None]

_ACTIONS: dict[str, Action] = {
    "go": Session.go,
    "back": Session._back,
    "resume": Session._resume,
    "pause": lambda session, _: session._lay_over(Over.PAUSE),
    "keys": lambda session, _: session._resume(None) if session.over else session._lay_over(Over.KEYS),
    "quit": Session._quit,
    "ask to leave": lambda session, _: session._lay_over(Over.LEAVE),
    "choose learner": Session._choose_learner,
    "accept name": Session._accept_name,
    "type": Session._type,
    "erase": Session._erase,
    "start": Session._start,
    "start new": Session._start_new,
    "only": Session._start_only,
    "next": Session._next,
    "leave block": Session._leave_block,
    "done": Session._done,
    "focus": Session._focus,
    "pick": Session._pick,
    "digit": Session._digit,
    "arrow": Session._arrow,
    "answer": Session._answer,
    "give up": Session._give_up,
    "flip": Session._flip,
    "hear": Session._hear,
    "restart": Session._restart,
    "level": Session._level,
    "reopen": Session._reopen,
    "appeared": Session._appeared,
    "set": Session._set,
    "text": Session._text,
    "light": Session._light,
    "full screen": Session._full_screen,
    "dismiss": Session._dismiss,
}
"""What can be wanted, by name."""

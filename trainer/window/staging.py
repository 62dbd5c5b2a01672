"""The staging of the window: what it shows, the ways from page to page, and what is told on them.

No pygame here, and no keys: the session on top of it says what somebody can want.
"""

import traceback
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from trainer.assembly import Assembly
from trainer.playback.player import Player
from trainer.practice.sitting import Sitting
from trainer.progress.due import REP_S, Plan
from trainer.progress.errors import StoreError
from trainer.progress.setups import Setup, bands_words, chosen_setup, setups_of
from trainer.progress.store import Store
from trainer.refusal import Refused
from trainer.season.quiz import quiz_with_uid
from trainer.season.roster import roster_of
from trainer.sound import Sound
from trainer.window.blocks import Blocks
from trainer.window.chores import Chores
from trainer.window.control import Intent
from trainer.window.drill import Drill
from trainer.window.quiz_desk import QuizDesk
from trainer.window.roster_desk import RosterDesk
from trainer.window.season_desk import SeasonSight
from trainer.window.settings import Settings
from trainer.window.sound_desk import OpenSound, SoundDesk
from trainer.window.standing import Standing, standing_of
from trainer.window.state import Notice, Over, Place

MOST_FAILURES = 4
"""After so many reps in a row that could not be made, a block is left."""


class Staging:
    """What one run of the window shows.

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
        self.learner, self.called = "", ""
        self.typed = ""
        self.standing: Standing | None = None
        self.drill: Drill | None = None
        self.known_learners: tuple[str, ...] = ()
        self.setups: tuple[Setup, ...] = ()
        self.setup: Setup | None = None
        self.devices: tuple[str, ...] = ()
        self.is_over = False
        self.revision = 0
        self.waiting_since: datetime | None = None
        self.now = now
        self._chores, self._save, self._devices = chores, save, devices
        self._begin_with = begin_with
        self._failures = 0
        self.blocks = Blocks(assembly, store)
        self.quizzes = QuizDesk()
        self.roster = RosterDesk()
        self.season: SeasonSight | None = None
        self.sound = SoundDesk(open_sound, level_sound, settings)
        self.tell_of_sound()
        self.typed = suggested_name
        if learner or settings.learner:
            self._let_in(learner or settings.learner)
        else:
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
    def player(self) -> Player:
        """What plays."""
        return self.sound.player

    @property
    def device_words(self) -> str:
        """What is listened on, in a few words."""
        if self.player.where:
            return "no sound device: the sounds go to files"
        if self.setup is not None:
            return f"{self.setup.name} · {bands_words(self.setup.usable_hz)}"
        return self.settings.device or "default sound device"

    # What happens.

    def tick(self) -> None:
        """Take in what was done beside the window, and what became of the sound."""
        changed = self._chores.settle()
        if self.drill is not None and self.place is Place.REP and self.over is None:
            changed = self.take() or changed
        if changed or self.watch_sound():
            self.revision += 1

    def close(self) -> None:
        """Let go of everything; what was answered is kept already."""
        self.keep_level()
        self.drop()
        self.player.close()
        self.store.close()

    # Places.

    def go(self, place: Place) -> None:
        """Go to a page."""
        left, self.place, self.focus, self.over = self.place, place, "", None
        if self.notice is not None and self.notice.about != "sound":
            self.notice = None
        if left is Place.SETUP:
            self.player.stop()
            self.keep_level()
        if place is Place.LEARNERS:
            self.known_learners = tuple(member.name for member in roster_of(self.store).present)
        if place is Place.SETUP:
            self.look_at_setups()
            self.devices = self._devices()
            self.sound.play_level_sound()
        if place is Place.TODAY and self._begin_with is not None:
            sitting, self._begin_with = self._begin_with(self.assembly, self.learner), None
            self.begin(sitting)
            return
        if place is Place.TODAY:
            self.prepare()
        if place in (Place.TODAY, Place.PROGRESS, Place.SUMMARY) and self.learner:
            self.look_up()

    def lay_over(self, over: Over) -> None:
        """Lay something over the page; the sound rests meanwhile, but under the keys."""
        self.over, self.focus = over, ""
        if over is not Over.KEYS:
            self.player.stop()

    def resume(self) -> None:
        """Take away what lies over the page, and let sound what sounded."""
        self.over, self.focus = None, ""
        self.focus_on_form()
        if self.place is Place.SETUP or (self.drill is not None and self.drill.rep is not None):
            self.player.play()

    # Learners.

    def _let_in(self, name: str) -> None:
        """Let somebody in who was named at the start; ask who they are where the name is only nearly somebody's."""
        try:
            self.welcome(name)
        except StoreError:
            raise
        except Refused as why:
            self.go(Place.LEARNERS)
            self.report(why)

    def welcome(self, name: str) -> None:
        """Let somebody in: their level, their figures, the block they left."""
        roster = roster_of(self.store)
        learner = roster.learner_of(name)
        self.called = roster.shown(learner)
        self.keep_level()
        self.learner, self.standing, self.typed = learner, None, ""
        is_new = self.sound.set_level_of(self.store, learner)
        self.remember(replace(self.settings, learner=learner))
        self.drop()
        self.look_at_setups()
        self.go(Place.SETUP if is_new else Place.TODAY)

    def look_at_setups(self) -> None:
        """Read what the learner listens on, and can choose from."""
        self.setups = setups_of(self.store, self.learner)
        self.setup = chosen_setup(self.store, self.learner)

    def look_up(self) -> None:
        """Have the learner's figures read again."""
        learner = self.learner

        def found(standing: Standing) -> None:
            if learner != self.learner:
                return
            is_first, self.standing = self.standing is None, standing
            if is_first and self.place is Place.TODAY:
                self.prepare()

        def read() -> Standing:
            return standing_of(self.store, learner, now=self.now())

        self._chores.do(read, found, self.report)

    # Blocks.

    @property
    def rep_s(self) -> float:
        """How long a rep takes the learner, all in all."""
        return REP_S if self.standing is None else self.standing.rep_s

    def prepare(self) -> None:
        """Have what is due worked out, and the first rep made, while the learner still looks at today's page.

        How many reps fill so many minutes is known with the learner's figures: until they are read it waits.
        """
        if not self.learner or self.drill is not None:
            return
        learner, minutes = self.learner, self.settings.block_minutes
        self.blocks.look_back(learner)
        if self.standing is None:
            return

        def found(plan: Plan) -> None:
            if learner == self.learner and minutes == self.settings.block_minutes and self.drill is None:
                self.blocks.take(plan, learner, self.settings.show)

        self._chores.do(lambda: self._plan(learner, minutes), found, self.report)

    def plan_now(self) -> None:
        """Work out what is due before anything else is done."""
        self.blocks.plan = self._plan(self.learner, self.settings.block_minutes)

    def _plan(self, learner: str, minutes: int) -> Plan:
        return self.blocks.planned(learner, minutes=minutes, rep_s=self.rep_s)

    def drop(self) -> None:
        """Let go of the present block, if there is one, and of what was due."""
        self.drill = None
        self.blocks.forget()

    def begin(self, sitting: Sitting) -> None:
        """Begin the block of a sitting."""
        self.drill = None
        self.blocks.make_ready(sitting)
        self.start()

    def start(self) -> None:
        """Begin the block that is ready."""
        self.blocks.look_back(self.learner)
        if self.blocks.ready is None:
            plan = self._plan(self.learner, self.settings.block_minutes)
            self.blocks.take(plan, self.learner, self.settings.show)
        ready = self.blocks.ready
        if ready is not None:
            uid = ready.sitting.quiz
            quiz = quiz_with_uid(self.store, uid) if uid else None
            self.drill = Drill(ready.block, self.player, self._chores, self.report, quiz)
            self.waiting_since = self.now()
            self.go(Place.REP)

    def leave_block(self) -> None:
        """Let go of the block, and go where it was begun."""
        is_quiz = self.drill is not None and self.drill.quiz is not None
        self.drop()
        self.go(Place.QUIZZES if is_quiz else Place.TODAY)

    def take(self) -> bool:
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
            self.leave_block()
            self.report(why)
            return True
        if taken:
            self._failures = 0
            self.focus_on_form()
        return taken

    # The rep.

    def focus_on_form(self) -> None:
        """Let the keyboard's focus show where the form's keys go."""
        if self.drill is not None and self.drill.form is not None and self.place is Place.REP:
            self.focus = stop_of(self.drill.form.innermost.group.stop)

    # The sound.

    def keep_level(self) -> None:
        """Remember the listening level for next time."""
        if self.learner:
            try:
                self.sound.keep_level_of(self.store, self.learner)
            except Refused as why:
                self.tell("store", f"The listening level could not be kept: {sentence_of(why)}")

    def watch_sound(self) -> bool:
        """Tell of a device that went away; say whether there is anything new."""
        told = self.notice is not None and self.notice.about == "sound"
        if not self.player.is_lost or told:
            return False
        words = f"{self.player.problem} {self.what_is_safe()} Plug it in again, or choose another one."
        self.notice = Notice("sound", words, way_on="Try again", intent=Intent("reopen"))
        return True

    # Settings.

    def remember(self, settings: Settings) -> None:
        """Take other settings, and keep them."""
        if settings != self.settings:
            self.settings = settings
            self._save(settings)

    # Words.

    def tell(self, about: str, words: str) -> None:
        """Tell of some trouble."""
        if words:
            self.notice = Notice(about, words)

    def tell_of_sound(self) -> None:
        """Tell where the sound goes if not to the device, and offer to look for one again."""
        if self.sound.said:
            self.notice = Notice("sound", self.sound.said, way_on="Try again", intent=Intent("reopen"))

    def what_is_safe(self) -> str:
        """Return what is not lost, whatever went wrong."""
        if self.drill is not None and self.drill.outcome is None and self.drill.rep is not None:
            return "What you picked is still here, and every answer before it is kept."
        return "Every answer you gave is kept."

    def report(self, error: BaseException) -> None:
        """Tell of something that failed beside the window."""
        if isinstance(error, Refused):
            self.tell("refused", f"{sentence_of(error)} {self.what_is_safe()}")
            return
        traceback.print_exception(error)
        self.tell("fault", f"Something went wrong in Yardline itself: {error!r}. {self.what_is_safe()}")


def stop_of(group_key: str) -> str:
    """Return the name of the keyboard's stop at a group of the answer form."""
    return f"field:{group_key}"


def sentence_of(why: Refused) -> str:
    """Return what was refused as a sentence that begins and ends like one."""
    words = str(why).rstrip(".")
    return f"{words[:1].upper()}{words[1:]}."

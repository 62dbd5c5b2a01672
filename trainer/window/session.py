"""The session: what happens when somebody wants something.

Screens draw it and keys and presses become intents; everything is decided here, in the window's own thread.
No pygame here: a test drives it with intents alone. What it stands on is `trainer.window.staff`, and that on
`trainer.window.staging`.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from trainer.playback.player import Version
from trainer.practice.sitting import BLOCK_MINUTES
from trainer.practice.values import Value
from trainer.progress.errors import StoreError
from trainer.progress.names import learner_name
from trainer.progress.setups import choose_setup
from trainer.refusal import Refused
from trainer.window.control import Intent
from trainer.window.drill import Drill
from trainer.window.form import DEEDS
from trainer.window.listing import STOP, Listing
from trainer.window.staff import StaffStaging
from trainer.window.staging import sentence_of, stop_of
from trainer.window.state import Notice, Over, Place
from trainer.window.theme import THEMES

LONGEST_NAME = 40


class Session(StaffStaging):
    """One run of the window, as everything that can be wanted of it."""

    # What happens.

    def do(self, intent: Intent) -> None:
        """Do what somebody wants; what cannot be done becomes a notice, and nothing is lost."""
        self.revision += intent.do not in SEEN_LIVE
        try:
            _ACTIONS[intent.do](self, intent.value)
        except Refused as why:
            self.tell("refused", f"{sentence_of(why)} {self.what_is_safe()}")

    # Places.

    def _back(self, _: object) -> None:
        """Esc: out of what lies over the page; out of a page; from a block by way of a question."""
        if self.over is not None:
            self._resume(None)
        elif self.place in (Place.REP, Place.REVEAL):
            self.lay_over(Over.PAUSE)
        elif self.place is Place.TODAY or (self.place is Place.LEARNERS and not self.learner):
            self.lay_over(Over.LEAVE)
        elif self.place is Place.RESULT:
            self.go(Place.QUIZZES)
        else:
            self.go(Place.TODAY)

    def _resume(self, _: object) -> None:
        left = self.over
        self.resume()
        if left is Over.BREAK:
            self._next(None)

    def _quit(self, _: object) -> None:
        self.is_over = True

    # Learners.

    def _choose_learner(self, name: Any) -> None:
        self.welcome(learner_name(str(name)))

    def _accept_name(self, _: object) -> None:
        if self.typed.strip():
            self._choose_learner(self.typed)

    def _type(self, letters: Any) -> None:
        self.typed = (self.typed + "".join(filter(str.isprintable, str(letters))))[:LONGEST_NAME]

    def _erase(self, _: object) -> None:
        self.typed = self.typed[:-1]

    # Blocks.

    def _start_new(self, exercises: Any) -> None:
        self.plan_now()
        keys = tuple(exercises or self.blocks.due)
        self.begin(self.blocks.new_sitting(self.learner, keys, self.settings.show))

    def _start_only(self, place: Any) -> None:
        if 0 <= int(place) < len(self.exercises):
            self._start_new((self.exercises[int(place)],))

    def _next(self, _: object) -> None:
        """Go on from a reveal: to a break if it is time, to the next rep, or to the end."""
        if self.drill is None or self.drill.outcome is None:
            return
        if self.sound.is_break_due():
            self.lay_over(Over.BREAK)
            return
        self.drill.go_on()
        self.waiting_since = self.now()
        self.go(Place.SUMMARY if self.drill.block.finished else Place.REP)

    def _leave_block(self, _: object) -> None:
        self.player.stop()
        self.keep_level()
        self.leave_block()

    def _done(self, _: object) -> None:
        self.drop()
        self.go(Place.TODAY)

    # Quizzes.

    def _take_quiz(self, uid: Any) -> None:
        """Take a quiz, or go on with it; one that was taken is offered to be looked at."""
        entry = self.quizzes.choose(uid)
        if entry is None:
            return
        try:
            sitting = self.assembly.quiz_sitting(self.store, entry.quiz, self.learner)
        except StoreError:
            raise
        except Refused as why:
            self.notice = Notice("refused", sentence_of(why))
            if entry.whole is not None:
                self.notice = replace(
                    self.notice, way_on="Your result", intent=Intent("quiz result", entry.quiz.uid)
                )
            return
        self.begin(sitting)

    def _quiz_result(self, uid: Any) -> None:
        entry = self.quizzes.choose(uid)
        if entry is not None and entry.whole is not None:
            self.show_result(entry.quiz, entry.whole.block)

    # The roster.

    def _choose_member(self, _: object) -> None:
        """Let whom the keys are on be the learner."""
        if self.roster.chosen is not None:
            self._choose_learner(self.roster.chosen.member.learner)

    def _sort(self, order: Any) -> None:
        self.roster.sort(order)

    # Listings.

    @property
    def listing(self) -> Listing | None:
        """The listing on this page."""
        there = {
            Place.QUIZZES: self.quizzes.listing,
            Place.RESULT: self.quizzes.items,
            Place.ROSTER: self.roster.listing,
        }
        return there.get(self.place)

    @property
    def text_scale(self) -> float:
        """The reader's text size, 1 as it is."""
        return self.settings.text_percent / 100.0

    def _row(self, rows: Any) -> None:
        if self.listing is not None:
            self.listing.step(int(rows))
            self.focus = STOP

    def _page(self, pages: Any) -> None:
        if self.listing is not None:
            self.listing.turn(int(pages), self.text_scale)

    # The rep.

    def _form(self, work: Callable[[Any], None]) -> None:
        """Do something with the form while it can still be filled in."""
        if self.drill is not None and self.drill.form is not None and self.drill.outcome is None:
            work(self.drill.form)
            self.focus_on_form()

    def _pick(self, picks: Any) -> None:
        chosen: Mapping[str, Value] = picks
        self._form(lambda form: form.pick(chosen))

    def _digit(self, number: Any) -> None:
        self._form(lambda form: form.digit(int(number)))

    def _arrow(self, way: Any) -> None:
        self._form(lambda form: form.arrow(*way))

    def _arrow_far(self, way: Any) -> None:
        self._form(lambda form: form.arrow(*way, is_large=True))

    def _work_form(self, deed: Any) -> None:
        """Do a deed of the form's: its name, and what it is to be done with."""
        name, *arguments = deed
        self._form(lambda form: DEEDS[name](form, *arguments))

    def _focus(self, stop: Any) -> None:
        self.focus = str(stop)
        form = self.drill.form if self.drill is not None else None
        for place in form.stops if form else ():
            if form is not None and stop_of(place) == stop:
                form.go_to(place)

    def _answer(self, _: object) -> None:
        if self.drill is None:
            return
        if self.drill.answer():
            self._answered(self.drill)
        else:
            self.focus_on_form()

    def _give_up(self, _: object) -> None:
        if self.drill is not None and self.drill.rep is not None:
            self.drill.give_up()
            self._answered(self.drill)

    def _answered(self, drill: Drill) -> None:
        """Reveal what came of a rep; of a quiz nothing is told before its end."""
        self.focus, self.notice = "", None
        if drill.quiz is None:
            self.place = Place.REVEAL
            self.look_up()
        elif drill.block.finished:
            self.leave_block()
            self.show_result(drill.quiz, drill.block.sitting.uid)
        else:
            self.waiting_since = self.now()
            if self.sound.is_break_due():
                self.lay_over(Over.BREAK)

    def _flip(self, _: object) -> None:
        if self.drill is not None:
            self.drill.flip()

    def _hear(self, version: Any) -> None:
        if self.drill is not None:
            self.drill.hear(Version(version))

    def _alone(self, _: object) -> None:
        if self.drill is not None:
            self.drill.alone()

    def _restart(self, _: object) -> None:
        self.player.restart()

    # The sound.

    def _level(self, steps: Any) -> None:
        self.sound.turn(int(steps))

    def _reopen(self, _: object) -> None:
        """Open the sound again, and go on where it was."""
        self.sound.reopen(self.settings)
        if self.drill is not None:
            self.drill.player = self.player
        self.notice = None
        self.tell_of_sound()

    def _appeared(self, _: object) -> None:
        """Take a device that was plugged in, if ours is gone."""
        if self.player.is_lost or self.player.where:
            self._reopen(None)

    # Settings.

    def _set(self, change: Any) -> None:
        before = self.settings
        self.remember(replace(self.settings, **dict(change)))
        if (before.device, before.quick_flips) != (self.settings.device, self.settings.quick_flips):
            self._reopen(None)
        if before.show != self.settings.show:
            self.drop()
        if before.block_minutes != self.settings.block_minutes:
            self.drop()
            self.prepare()

    def _use_setup(self, name: Any) -> None:
        """Listen on another setup: what is asked may be others of the octave bands."""
        choose_setup(self.store, self.learner, str(name))
        self.look_at_setups()
        self.drop()

    def _other_length(self, _: object) -> None:
        """Choose the next length of a block."""
        following = BLOCK_MINUTES[(BLOCK_MINUTES.index(self.settings.block_minutes) + 1) % len(BLOCK_MINUTES)]
        self._set({"block_minutes": following})

    def _text(self, step: Any) -> None:
        self.remember(self.settings.with_text(int(step)))

    def _light(self, _: object) -> None:
        other = next(key for key in THEMES if key != self.settings.theme)
        self.remember(replace(self.settings, theme=other))

    def _full_screen(self, _: object) -> None:
        self.remember(replace(self.settings, full_screen=not self.settings.full_screen))

    # Words.

    def _dismiss(self, _: object) -> None:
        self.notice = None


SEEN_LIVE = ("flip", "hear", "alone", "restart")
"""What only changes the parts of a page that are kept up to date by themselves."""

Action = Callable[[Session, Any], None]

_ACTIONS: dict[str, Action] = {
    "go": Session.go,
    "back": Session._back,
    "resume": Session._resume,
    "keys": lambda session, _: session._resume(None) if session.over else session.lay_over(Over.KEYS),
    "quit": Session._quit,
    "choose learner": Session._choose_learner,
    "accept name": Session._accept_name,
    "type": Session._type,
    "erase": Session._erase,
    "start": lambda session, _: session.start(),
    "start new": Session._start_new,
    "only": Session._start_only,
    "next": Session._next,
    "leave block": Session._leave_block,
    "done": Session._done,
    "take quiz": Session._take_quiz,
    "quiz result": Session._quiz_result,
    "choose member": Session._choose_member,
    "sort": Session._sort,
    "row": Session._row,
    "page": Session._page,
    "focus": Session._focus,
    "pick": Session._pick,
    "digit": Session._digit,
    "arrow": Session._arrow,
    "arrow far": Session._arrow_far,
    "form": Session._work_form,
    "answer": Session._answer,
    "give up": Session._give_up,
    "flip": Session._flip,
    "hear": Session._hear,
    "alone": Session._alone,
    "restart": Session._restart,
    "level": Session._level,
    "reopen": Session._reopen,
    "appeared": Session._appeared,
    "set": Session._set,
    "use setup": Session._use_setup,
    "other length": Session._other_length,
    "text": Session._text,
    "light": Session._light,
    "full screen": Session._full_screen,
    "dismiss": Session._dismiss,
}
"""What can be wanted, by name."""

"""A drill in the window: one block, its present rep, the form it is answered in, and what is revealed."""

from collections.abc import Callable
from dataclasses import dataclass

from trainer.playback.device import tidy_up
from trainer.playback.player import Player, Version
from trainer.practice.alone import only_words, parts_alone, target_alone
from trainer.practice.block import Block, Outcome
from trainer.practice.deal import Rep
from trainer.practice.pictures import Activity, Outline, Picture, activity_of, outline_of, picture_of
from trainer.season.quiz import Quiz
from trainer.sound import Sound
from trainer.window.chores import Chores
from trainer.window.form import Form

OUTLINE_SLOTS = 150


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """What a loop looks like while it plays: the plain mix's outline, and which stems sound when.

    Only ever of the plain sound: a picture of the changed one would answer for the ear.
    """

    outline: Outline
    activity: Activity


@dataclass
class Drill:
    """One block in the window; of a quiz, nothing is revealed.

    Attributes
    ----------
    quiz
        The quiz whose items its reps are; None for a drill.
    rep
        The rep that is heard or revealed; None while the next is being made.
    form
        The answer as far as it is picked.
    outcome
        What came of the rep, once it is answered.
    truth, said
        Pictures of the change that was made and of the learner's answer, once they are drawn up.
    """

    block: Block
    player: Player
    chores: Chores
    report: Callable[[BaseException], None]
    quiz: Quiz | None = None
    rep: Rep | None = None
    form: Form | None = None
    sight: Sight | None = None
    outcome: Outcome | None = None
    truth: Picture | None = None
    said: Picture | None = None
    is_yours_ready: bool = False
    is_alone_ready: bool = False

    @property
    def is_waiting(self) -> bool:
        """Whether the next rep is still being made."""
        return self.rep is None

    @property
    def only_words(self) -> str:
        """What is heard alone, in words, once the rep is answered; nothing where the whole mix was changed."""
        return only_words(self.rep.change) if self.rep is not None and self.outcome is not None else ""

    @property
    def parts_alone(self) -> frozenset[str]:
        """The stems that sound where the target is heard alone."""
        return parts_alone(self.rep) if self.rep is not None else frozenset()

    def is_ready(self, version: Version) -> bool:
        """Say whether a version is there to be heard."""
        if version.is_alone:
            return self.is_alone_ready
        return version is not Version.YOURS or self.is_yours_ready

    def take(self) -> bool:
        """Take the next rep if it is ready, and let it sound; say whether it was."""
        if self.rep is not None or self.block.finished or not self.block.is_ready:
            return False
        rep = self.block.rep
        self.rep, self.form, self.sight = rep, Form(rep.question.fields), None
        self.outcome = self.truth = self.said = None
        self.is_yours_ready = self.is_alone_ready = False
        self.player.load({Version.PLAIN: rep.plain, Version.CHANGED: rep.changed})
        self.player.play()
        self.block.heard()
        self._chore(lambda: _sight_of(rep), lambda sight: self._see(rep, sight))
        return True

    def flip(self) -> None:
        """Exchange plain and changed (from the learner's own answer: to changed), alone where that is heard."""
        self._hear(self.player.sounding.flipped)

    def hear(self, version: Version) -> None:
        """Let a version sound, if it is there; while the target is heard alone, plain and changed are, too."""
        is_alone = self.player.sounding.is_alone and version is not Version.YOURS
        self._hear(version.alone if is_alone else version)

    def alone(self) -> None:
        """Let what was changed sound alone; once more, with the rest of the mix again."""
        sounding = self.player.sounding
        self._hear(sounding.together if sounding.is_alone else sounding.alone)

    def _hear(self, version: Version) -> None:
        if self.rep is None or version is self.player.sounding or not self.is_ready(version):
            return
        self.player.flip(version)
        if self.outcome is None:
            self.block.flipped()

    def answer(self) -> bool:
        """Hand in what is picked, if it is all; say whether it was. What the store refuses stays picked."""
        if self.form is None or self.rep is None or self.outcome is not None:
            return False
        if self.form.answer is None:
            self.form.go_to_missing()
            return False
        self._answered(self.block.answer(self.form.answer))
        return True

    def give_up(self) -> None:
        """Hand in nothing, and have it revealed; in a quiz, go on."""
        if self.rep is not None and self.outcome is None:
            self._answered(self.block.answer(None))

    def go_on(self) -> None:
        """Leave the reveal for the next rep."""
        if self.outcome is not None:
            self._let_go()

    def _answered(self, outcome: Outcome) -> None:
        """Have what came of a rep revealed; of a quiz's item, forget it."""
        if self.quiz is not None:
            self._let_go()
        else:
            self._reveal(outcome)

    def _let_go(self) -> None:
        self.player.stop()
        self.rep = self.form = self.outcome = None
        tidy_up()

    def _reveal(self, outcome: Outcome) -> None:
        self.outcome = outcome
        rep, given = outcome.rep, outcome.given
        self._chore(lambda: picture_of(rep.answer, rep), lambda picture: self._draw(rep, truth=picture))
        if given is not None and not outcome.grade.right:
            self._chore(lambda: picture_of(given, rep), lambda picture: self._draw(rep, said=picture))
            self._chore(lambda: rep.version_for(given), lambda sound: self._add_yours(rep, sound))
        if self.only_words:
            self._chore(lambda: target_alone(rep), lambda sounds: self._add_alone(rep, sounds))

    def _see(self, rep: Rep, sight: Sight) -> None:
        if rep is self.rep:
            self.sight = sight

    def _draw(self, rep: Rep, *, truth: Picture | None = None, said: Picture | None = None) -> None:
        if rep is self.rep:
            self.truth, self.said = truth or self.truth, said or self.said

    def _add_yours(self, rep: Rep, sound: Sound) -> None:
        if rep is self.rep:
            self.player.add(Version.YOURS, sound)
            self.is_yours_ready = True

    def _add_alone(self, rep: Rep, sounds: tuple[Sound, Sound] | None) -> None:
        if rep is self.rep and sounds is not None:
            plain, changed = sounds
            self.player.add(Version.ALONE_PLAIN, plain)
            self.player.add(Version.ALONE_CHANGED, changed)
            self.is_alone_ready = True

    def _chore(self, work: Callable[[], object], then: Callable[..., None]) -> None:
        self.chores.do(work, then, self.report)


def _sight_of(rep: Rep) -> Sight:
    return Sight(outline_of(rep.excerpt.mix, OUTLINE_SLOTS), activity_of(rep.excerpt))

"""The pages of a whole staff, on the staging: quizzes and their results, the roster, the season."""

from collections.abc import Callable

from trainer.season.quiz import Quiz
from trainer.season.roster import roster_of
from trainer.window.bands import Bands, bands_of_all
from trainer.window.quiz_desk import Entry, entries_of, result_of
from trainer.window.season_desk import SeasonSight, season_sight
from trainer.window.staging import Staging
from trainer.window.state import Place


class StaffStaging(Staging):
    """The staging with what is read afresh when somebody comes to a page of the staff's."""

    def go(self, place: Place) -> None:
        """Go to a page, and have read what it shows."""
        super().go(place)
        if self.place in _READ:
            _READ[self.place](self)

    # Quizzes.

    def look_up_quizzes(self) -> None:
        """Have it looked up how it stands with each quiz."""
        learner = self.learner

        def found(entries: tuple[Entry, ...]) -> None:
            if learner == self.learner:
                self.quizzes.show(entries)

        self.quizzes.entries = None
        self._chores.do(lambda: entries_of(self.store, learner), found, self.report)

    # The roster and the season.

    def look_up_roster(self) -> None:
        """Have everybody's figures read, some members at a time, as long as the page is looked at."""
        reading = self.roster.begin(roster_of(self.store))
        self._read_on(reading)

    def _read_on(self, reading: int) -> None:
        members = tuple(member.learner for member in self.roster.unread)
        today = self.now().date()
        if not members or self.place is not Place.ROSTER or reading != self.roster.reading:
            return

        def read() -> dict[str, Bands]:
            return bands_of_all(self.store, members, today=today)

        def found(bands: dict[str, Bands]) -> None:
            if reading == self.roster.reading:
                self.roster.take(bands)
                self._read_on(reading)

        self._chores.do(read, found, self.report)

    def look_up_season(self) -> None:
        """Have the plan read, and how it stands with the learner."""
        learner, today = self.learner, self.now().date()

        def read() -> SeasonSight:
            return season_sight(self.store, learner, today=today)

        def found(season: SeasonSight) -> None:
            if learner == self.learner:
                self.season = season

        self.season = None
        self._chores.do(read, found, self.report)

    def show_result(self, quiz: Quiz, block: str) -> None:
        """Show what came of a sitting of a quiz."""
        self.quizzes.open(result_of(self.store, quiz, self.learner, block))
        self.go(Place.RESULT)


_READ: dict[Place, Callable[[StaffStaging], None]] = {
    Place.QUIZZES: StaffStaging.look_up_quizzes,
    Place.ROSTER: StaffStaging.look_up_roster,
    Place.SEASON: StaffStaging.look_up_season,
}
"""What is read afresh when somebody comes to a page."""

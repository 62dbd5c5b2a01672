"""The trail of a loop: which version and which place every frame of late was rendered from.

One thread leaves it while it renders, others read it: the marks lie in one tuple, replaced by a single store.
"""

from dataclasses import dataclass

from trainer.playback.player import Version

LONGEST = 64
"""Marks kept. A buffer leaves four at most (a dip with a jump), and what is read lies two buffers back."""


@dataclass(frozen=True, slots=True)
class Mark:
    """From ``frame`` on ``version`` was rendered, from ``place`` on round a loop of ``loop_frames``.

    Where the loop stood still ``loop_frames`` is 0.
    """

    frame: int
    place: int
    loop_frames: int
    version: Version

    def place_at(self, frame: float) -> float:
        """Return the place in the loop at a frame that this mark holds for."""
        if self.loop_frames == 0:
            return self.place
        return (self.place + frame - self.frame) % self.loop_frames


class Trail:
    """The marks, oldest first: one wherever the version changed, or the place did not simply move on."""

    def __init__(self) -> None:
        self._marks: tuple[Mark, ...] = (Mark(0, 0, 0, Version.PLAIN),)

    def leave(self, mark: Mark) -> None:
        """Note what is rendered from a frame on, if it is not what the last mark says already."""
        last = self._marks[-1]
        goes_on = (last.loop_frames, last.version, last.place_at(mark.frame))
        if goes_on != (mark.loop_frames, mark.version, mark.place):
            self._marks = (*self._marks[-LONGEST + 1 :], mark)

    def at(self, frame: float) -> Mark:
        """Return the mark that holds for a frame (the oldest one there is, for frames before it)."""
        marks = self._marks
        return next((mark for mark in reversed(marks) if mark.frame <= frame), marks[0])

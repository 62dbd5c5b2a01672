"""A watch over the calls of a sound device: were they late, have they stopped."""

STOPPED_AFTER_S = 3.0
"""Some devices with long buffers call only now and then; after 3 s without a call nothing sounds any more."""


class Watch:
    """Counts calls that came too late for the sound to go on without a gap.

    A device plays one buffer while the next is filled, so two calls may lie up to two buffers apart.
    """

    def __init__(self, *, buffer_s: float, opened_at_s: float) -> None:
        self._allowed_s = 2.0 * buffer_s
        self._last_s = opened_at_s
        self._has_been_called = False
        self.late = 0

    def called(self, *, at_s: float) -> None:
        """Note a call."""
        if self._has_been_called and at_s - self._last_s > self._allowed_s:
            self.late += 1
        self._has_been_called = True
        self._last_s = at_s

    def has_stopped(self, *, at_s: float) -> bool:
        """Say whether the device has not called for so long that nothing can be sounding."""
        return at_s - self._last_s > STOPPED_AFTER_S

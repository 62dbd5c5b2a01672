"""The target alone: what a change was made on, plain and changed, without the rest of the mix.

It is heard at the level it has in the mix as played, both versions under one gain, so that nothing but the
change lies between them. A part far below its mix is lifted; nothing gets louder than what the rep played.
"""

import numpy as np

from trainer.dsp.level import gain
from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.mixdown import bus
from trainer.ensemble.parts import title_of
from trainer.practice.change import MIX, Change, Stems
from trainer.practice.deal import Rep
from trainer.practice.fairness import CEILING_DBTP
from trainer.sound import Sound
from trainer.units import ratio_to_db

SOFT_LU = -10.0
"""A target softer than this beside the mix is lifted to it: 10 phon are about half as loud (ISO 532-1)."""
MOST_LIFT_DB = 20.0
MANY_WORDS = "only the changed parts"
LONGEST_WORDS = 28
"""Several targets are named one by one as long as a button has room for their names."""


def targets_of(change: Change) -> tuple[str, ...]:
    """Return the sections and stems a change is made on, each once; none where all of it is on the mix."""
    return tuple(dict.fromkeys(edit.target for edit in change.edits if edit.target != MIX))


def only_words(change: Change) -> str:
    """Return the words for a change's targets alone (``only the brass``); nothing where there are none."""
    targets = targets_of(change)
    if not targets:
        return ""
    words = f"only the {' and '.join(title_of(target) for target in targets)}"
    return words if len(targets) == 1 or len(words) <= LONGEST_WORDS else MANY_WORDS


def parts_alone(rep: Rep) -> frozenset[str]:
    """Return the stems that sound where the targets of a rep's change are heard alone."""
    targets = targets_of(rep.change)
    return frozenset(part for target in targets for part in rep.excerpt.parts_in(target))


def target_alone(rep: Rep) -> tuple[Sound, Sound] | None:
    """Return what a rep's change was made on without the rest of the mix, plain and changed.

    Returns
    -------
    tuple[Sound, Sound] or None
        Both as long as the rep's loop, with the room's answer, under one gain; None where the change is on the
        mix. Several targets are heard together; what a change does to the mix as a whole is left out.
    """
    if not targets_of(rep.change):
        return None
    return _under_one_gain(*_contributions(rep), rep)


def _contributions(rep: Rep) -> tuple[Sound, Sound]:
    """Return what the targets of a rep's change contribute to the mix, in the plain version and in the changed one."""
    stems = {part: rep.excerpt.stems[part] for part in rep.excerpt.parts if part in parts_alone(rep)}
    setting = rep.exercise.setting(rep.question, rep.excerpt)
    plain, changed = (_through(change, stems, rep.excerpt) for change in (setting, rep.change))
    return bus(plain, rep.excerpt.room), bus(changed, rep.excerpt.room)


def _through(change: Change, stems: Stems, excerpt: Excerpt) -> Stems:
    """Return stems with what a change does to them; what it does to the mix, or to others, is left out."""
    done = dict(stems)
    for edit in change.edits:
        if edit.target != MIX:
            done |= edit.process.apply(
                {part: done[part] for part in excerpt.parts_in(edit.target) if part in done}
            )
    return done


def _under_one_gain(plain: Sound, changed: Sound, rep: Rep) -> tuple[Sound, Sound]:
    """Return both as loud as they are in the mix as played, lifted where soft, held under what may be heard."""
    played_db = gain_as_played_db(rep)
    loudest_lufs = max(integrated_loudness_lufs(each) for each in (plain, changed)) + played_db
    gain_db = played_db + _lift_db(loudest_lufs, rep)
    room_dbtp = CEILING_DBTP - gain_db
    peak_dbtp = max(true_peak_dbtp(each, loop=True, at_least_dbtp=room_dbtp) for each in (plain, changed))
    gain_db -= max(0.0, peak_dbtp - room_dbtp)
    return gain(plain, gain_db=gain_db), gain(changed, gain_db=gain_db)


def gain_as_played_db(rep: Rep) -> float:
    """Return the gain in dB that took a rep's plain mix to how it is played.

    Found from the sounds themselves, whatever brought the rep down or trimmed it: the gain of most loud
    samples, since held peaks are few.
    """
    mix, played = rep.base.samples.ravel(), rep.plain.samples.ravel()
    loud = np.abs(mix) >= 0.5 * np.sqrt(np.mean(np.square(mix, dtype=np.float64)))
    return ratio_to_db(float(np.median(played[loud] / mix[loud])))


def _lift_db(loudest_lufs: float, rep: Rep) -> float:
    """Return by how many dB a target is lifted; negative where it would be louder than anything of its rep."""
    plain_lufs, changed_lufs = (integrated_loudness_lufs(each) for each in (rep.plain, rep.changed))
    lift_db = max(0.0, plain_lufs + SOFT_LU - loudest_lufs)
    over_lu = max(0.0, loudest_lufs - max(plain_lufs, changed_lufs))
    return min(lift_db, MOST_LIFT_DB) - over_lu

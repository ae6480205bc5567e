"""Render the cues of a clock as sound: tones that can be told apart without looking, no speech.

Loads numpy and an encoder; nothing that starts with the bot may import it.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from functools import cache
from typing import Literal

import numpy as np
import soundfile as sf
from numpy.typing import NDArray

from content.clock_track import Cue, Track

RATE = 24_000  # Hz; one that Opus knows, far above twice the highest tone
_LOUD = 0.6  # of full scale
_EDGE_S = 0.005  # a tone that begins at once cracks
# 0 is the largest file, 1 the smallest and by far the slowest: there libsndfile lets Opus take
# its mode for speech. Tried with 1.2.2.
_COMPRESSION = 0.6

Samples = NDArray[np.float32]

# Each cue as tones and pauses: (Hz, seconds), 0 Hz for a pause. They differ in how many tones
# there are, in their length and in whether they rise or fall, not in pitch alone: a small
# loudspeaker in a park, and ears that hear less high tones, must do. All end within a second.
SOUNDS: dict[Cue, tuple[tuple[int, float], ...]] = {
    Cue.TICK: ((880, 0.12),),
    Cue.BEGIN: ((1320, 0.45),),
    Cue.START: ((1320, 0.9),),
    Cue.CHANGE: ((440, 0.22), (0, 0.12), (440, 0.22)),
    Cue.HALF: ((660, 0.25), (0, 0.08), (990, 0.4)),
    Cue.LAST_MINUTE: ((1175, 0.12), (0, 0.1), (1175, 0.12), (0, 0.1), (1175, 0.12)),
    Cue.PACE: ((550, 0.06), (0, 0.06), (550, 0.06)),
    Cue.END: ((990, 0.25), (0, 0.05), (660, 0.25), (0, 0.05), (440, 0.35)),
}


class Stopped(Exception):
    """The program is stopping; the sound was left unfinished."""


@cache
def sound_of(cue: Cue) -> Samples:
    """Give a cue's samples; its first and its last are not silent."""
    return np.concatenate([_tone(hertz, seconds) for hertz, seconds in SOUNDS[cue]])


def _tone(hertz: int, seconds: float) -> Samples:
    count = round(seconds * RATE)
    if hertz == 0:
        return np.zeros(count, np.float32)
    n = np.arange(count)
    edge = round(_EDGE_S * RATE)
    rise = np.minimum(1, np.minimum(n + 1, count - n) / edge)
    # A cosine: with a sine the first sample would be silent, and the cue begin after its second.
    wave = np.cos(2 * np.pi * hertz * n / RATE) * (0.5 - 0.5 * np.cos(np.pi * rise))
    return (_LOUD * wave).astype(np.float32)


def seconds_of(track: Track) -> Iterator[Samples]:
    """Give the track second by second, each of RATE samples; a cue begins with its second."""
    cues = {mark.at_s: mark.cue for mark in track.marks}
    silence = np.zeros(RATE, np.float32)
    for second in range(track.length_s):
        if second in cues:
            sound = sound_of(cues[second])
            yield np.concatenate([sound, silence[len(sound) :]])
        else:
            yield silence


def render(
    track: Track,
    *,
    form: Literal["opus", "wav"] = "opus",
    is_stopping: Callable[[], bool] = lambda: False,
) -> bytes:
    """Write a track as a file; takes seconds, so it belongs on a thread of its own.

    Args:
        track: As `day_track` gives it.
        form: "opus": Ogg with Opus, which the platform plays as a voice message. "wav": every
            sample as it is, in 16 bits.
        is_stopping: Asked once for every second of sound.

    Raises:
        Stopped: `is_stopping` said so.
    """
    kinds = {"opus": ("OGG", "OPUS", _COMPRESSION), "wav": ("WAV", "PCM_16", None)}
    container, subtype, compression = kinds[form]
    file = io.BytesIO()
    with sf.SoundFile(
        file,
        "w",
        samplerate=RATE,
        channels=1,
        format=container,
        subtype=subtype,
        compression_level=compression,
    ) as sound:
        for second in seconds_of(track):
            if is_stopping():
                raise Stopped
            sound.write(second)
    return file.getvalue()

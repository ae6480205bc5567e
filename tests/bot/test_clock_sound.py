"""The sound of a clock, read back: every cue begins on its sample, and no two sound alike."""

from __future__ import annotations

import io
from itertools import pairwise

import numpy as np
import pytest
import soundfile as sf

from bot.clock_sound import RATE, SOUNDS, Stopped, render, sound_of
from bot.rehearsal.files import FileStore, Upload
from content.clock_track import Cue, Track, day_track
from tests.content.builders import a_workout_day

# A pause within a cue is at most 0.12 s; between two cues there is at least 0.05 s more.
APART = round(0.2 * RATE)
SHORT = day_track(
    a_workout_day(
        [{"movement": "push-up", "reps": 10}],
        score="rounds_and_reps",
        shape="repeat",
        window="130 s",
    ),
    pace_s=(40, 80),
)


def begins(samples, threshold):
    """Give the samples at which sound begins after a pause."""
    loud = np.flatnonzero(np.abs(samples) > threshold)
    first = np.append([True], np.diff(loud) > APART)
    return loud[first]


def test_every_cue_is_in_the_track_that_is_rendered():
    assert {mark.cue for mark in SHORT.marks} == set(Cue)


def test_without_loss_every_cue_begins_on_its_very_sample():
    samples, rate = sf.read(io.BytesIO(render(SHORT, form="wav")), dtype="int16")

    assert rate == RATE
    assert len(samples) == SHORT.length_s * RATE
    found = begins(samples.astype(np.int32), 0)
    assert found.tolist() == [mark.at_s * RATE for mark in SHORT.marks]


def test_as_it_is_sent_every_cue_begins_within_five_milliseconds():
    """Opus shapes sound in blocks of 2.5 ms and more, so that a tone may be heard a little early.

    120 samples are 5 ms: a fifth of what a person can tell by ear beside a movement. What must
    not be is a shift of the whole: the encoder's delay of 6.5 ms (RFC 7845, pre-skip) is taken
    off again by every player.
    """
    samples, rate = sf.read(io.BytesIO(render(SHORT)), dtype="float32")

    assert rate == RATE
    assert abs(len(samples) - SHORT.length_s * RATE) <= 120
    found = begins(samples, 0.05)
    wanted = np.array([mark.at_s * RATE for mark in SHORT.marks])
    assert len(found) == len(wanted)
    assert np.abs(found - wanted).max() <= 120


def test_the_file_is_what_the_platform_plays_and_as_long_as_the_track():
    stored = FileStore().add_voice(Upload("clock.ogg", render(SHORT)))

    assert stored.duration_s == SHORT.length_s


def test_nothing_is_louder_than_the_scale_and_a_cue_ends_within_its_second():
    for cue in Cue:
        sound = sound_of(cue)
        assert 0.4 < np.abs(sound).max() < 1
        assert len(sound) < RATE


def heard(cue):
    """Measure a cue in its samples: length of each tone (s) and its pitch (Hz)."""
    sound = sound_of(cue)
    loud = np.flatnonzero(np.abs(sound) > 0.02)
    cuts = np.flatnonzero(np.diff(loud) > 0.03 * RATE)
    tones = [loud[0], *loud[cuts + 1]], [*loud[cuts], loud[-1]]
    found = []
    for first, last in zip(*tones, strict=True):
        tone = sound[first : last + 1]
        spectrum = np.abs(np.fft.rfft(tone * np.hanning(len(tone)), RATE))
        found.append((len(tone) / RATE, int(spectrum.argmax())))
    return found


def shape(cue):
    """Give what can be told without an ear for pitch: number, length, rise or fall."""
    tones = heard(cue)
    turns = {np.sign(round(b / a, 1) - 1) for (_, a), (_, b) in pairwise(tones)}
    total = sum(length for length, _ in tones)
    size = "short" if total < 0.3 else "middle" if total < 0.6 else "long"
    return len(tones), size, tuple(sorted(turns))


def test_every_cue_can_be_told_by_number_length_and_direction():
    shapes = {cue: shape(cue) for cue in Cue}

    assert len(set(shapes.values())) == len(Cue), shapes


def test_the_tones_are_the_ones_that_are_written_down():
    for cue, written in SOUNDS.items():
        tones = [(seconds, hertz) for hertz, seconds in written if hertz]
        assert [hertz for _, hertz in heard(cue)] == pytest.approx(
            [hertz for _, hertz in tones], abs=12
        )
        assert [length for length, _ in heard(cue)] == pytest.approx(
            [seconds for seconds, _ in tones], abs=0.005
        )


def test_the_same_track_is_the_same_sound():
    assert render(SHORT, form="wav") == render(SHORT, form="wav")


def test_it_can_be_stopped_in_the_middle():
    asked: list[int] = []

    def is_stopping():
        asked.append(1)
        return len(asked) > 5

    with pytest.raises(Stopped):
        render(SHORT, is_stopping=is_stopping)
    assert len(asked) == 6


def test_a_track_without_cues_is_silence():
    samples, _ = sf.read(io.BytesIO(render(Track((), 2, 0), form="wav")))

    assert not samples.any()

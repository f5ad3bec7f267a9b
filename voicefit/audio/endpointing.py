"""Where an utterance begins and ends in a stream of sound.

Duty: blocks in, utterances out, each whole: with some sound before it, so that a weak first consonant is kept, and with
the silence that ended it. A pause shorter than the hang-over stays inside. It must not reject anything that may be
speech: that is the recogniser's business.
"""

from __future__ import annotations

import statistics
from collections import deque
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voicefit.audio.voice_activity import FRAME, FRAME_S, Detector, Levelling, NeuralDetector, Sparing
from voicefit.errors import BadAudio, BadInput
from voicefit.levels import SILENCE_DBFS, dbfs, dbfs_of, is_clipped, is_quiet_around, least_dbfs, power_of
from voicefit.records import SAMPLE_RATE_HZ, Utterance

_NOISE_S = 3.0
_STILL_DBFS, _STILL_DB = -60.0, 3.0  # quieter than this, and hardly above the noise: nothing sounds

# Weak sounds ("and a half" after a pause, a soft "four" at the beginning) escape the detector for up to 0.7 s, but not
# the level meter. Measured at 10 and 20 dB, pauses of 0.3 s inside numbers: splits and clips fall from 5 of 120 to 2.
_QUIET_FRAMES, _WEAK_FRAMES = 4, 32


@dataclass(frozen=True, slots=True)
class EndpointSettings:
    """Times in seconds, thresholds as probability of voice.

    ``hang_over_s`` : so much silence ends an utterance; the detector loses the voice about 0.08 s after its last sound.
    ``whole_s`` : so long a pause ends one that is whole by its words (:meth:`Endpointer.words_are`).
    ``patience_s`` : so much silence ends one that is left hanging by them ("one and ..."), or after which something
    still sounds.
    ``pre_roll_s`` : so much is kept before the first voice.
    ``longest_s`` : an utterance is cut there.
    ``begin``, ``keep`` : voice begins above the one, in two of three frames, and goes on above the other.
    ``stir`` : one frame above this is reason enough to fall silent and listen.
    ``tail_s`` : for so long after the tool's own voice the echo of it begins no utterance; but a person who answers at
    once is not clipped, for what they said in that time counts as pre-roll.
    """

    hang_over_s: float = 0.44
    whole_s: float = 0.38
    patience_s: float = 0.9
    pre_roll_s: float = 0.5
    longest_s: float = 15.0
    begin: float = 0.35
    keep: float = 0.25
    stir: float = 0.5
    tail_s: float = 0.2

    def __post_init__(self) -> None:
        if not (0 <= self.keep <= self.begin <= 1 and 0 <= self.stir <= 1):
            raise BadInput("the endpointing thresholds must satisfy 0 <= keep <= begin <= 1 and 0 <= stir <= 1")
        if min(self.hang_over_s, self.whole_s, self.pre_roll_s) < 0 or self.longest_s <= self.hang_over_s:
            raise BadInput(
                "the endpointing times must be positive, and the longest utterance longer than the hang-over"
            )


class Endpointer:
    """Cuts a stream into utterances.

    >>> import numpy as np
    >>> endpointer = Endpointer()
    >>> endpointer.feed(np.zeros(16_000, "float32")), endpointer.speaking, endpointer.now_s
    ([], False, 1.0)
    """

    def __init__(self, settings: EndpointSettings | None = None, detector: Detector | None = None) -> None:
        self.settings = settings or EndpointSettings()
        self._detector = Sparing(detector or NeuralDetector())
        self._rest = np.zeros(0, np.float32)
        self._noise: deque[float] = deque(maxlen=round(_NOISE_S / FRAME_S))  # powers of frames without voice
        self._noise_dbfs = SILENCE_DBFS  # their median's level
        self._levelling = Levelling()  # of what the detector hears; the utterance keeps its own level
        self._done = 0  # samples of the stream that went through the detector
        self._deaf_until = 0
        self._start()

    def _start(self) -> None:
        self._frames: list[NDArray[np.float32]] = []  # of the utterance going on
        self._voiced: list[bool] = []
        self._before: deque[NDArray[np.float32]] = deque(maxlen=self._kept_frames + _WEAK_FRAMES)
        self._recent: deque[bool] = deque(maxlen=3)
        self._silence = 0  # frames since the last voice
        self._pause = 0  # the same; where it is quiet around, since the last sound
        self._voice_power = 0.0  # of all voiced frames together
        self._begun_s = 0.0
        self._whole: bool | None = None  # whether this is the end, as far as the words tell
        self._stirs = False
        self._cut = False  # the rest of what was too long is thrown away until it ends

    # ---- the stream -------------------------------------------------------------------------------------

    def feed(self, block: NDArray[np.float32]) -> list[Utterance]:
        """The utterances that ended within this block (float32, 16 kHz mono, any length).

        Raises ``BadAudio`` for samples that are not numbers, before anything is taken of the block.
        """
        if not np.isfinite(block).all():
            raise BadAudio(
                "sound",
                f"the sample at {self.now_s + np.argmin(np.isfinite(block)) / SAMPLE_RATE_HZ:.3f} s is not a number",
            )
        sound = np.concatenate([self._rest, block]) if len(self._rest) else block
        whole = len(sound) - len(sound) % FRAME
        self._rest = sound[whole:]
        ended = []
        for start in range(0, whole, FRAME):
            self._step(sound[start : start + FRAME])
            if self._frames and self._is_at_end and not self._waits:
                ended += self._end(self.so_far())
            elif self._cut:
                del self._frames[:-1], self._voiced[:-1]
            elif len(self._frames) * FRAME_S >= self.settings.longest_s:
                ended += filter(None, [self.so_far(cut=True)])
                self._cut = True
        return ended

    def flush(self) -> list[Utterance]:
        """The stream has ended: what is still going on is an utterance too."""
        last = self.feed(np.zeros(FRAME - len(self._rest), np.float32)) if len(self._rest) else []
        return [*last, *self._end(self.so_far())] if self._frames else last

    def skip(self, samples: int) -> None:
        """So many samples were not listened to (own voice): time goes on, what was going on is dropped."""
        self._done += len(self._rest) + samples
        self._deaf_until = self._done + round(self.settings.tail_s * SAMPLE_RATE_HZ)
        self._rest = np.zeros(0, np.float32)
        self._detector.reset()
        self._start()

    def use(self, settings: EndpointSettings) -> None:
        """Other settings from the next frame on; what is going on goes on."""
        self.settings = settings
        self._before = deque(self._before, maxlen=self._kept_frames + _WEAK_FRAMES)

    def words_are(self, *, whole: bool | None) -> None:
        """By its words the utterance going on is at its end, goes on, or may do either: this silence may be shorter,
        longer, or as usual.

        From any thread; it holds until there is voice again.
        """
        self._whole = whole

    @property
    def now_s(self) -> float:
        """The stream's own time: the end of what was fed or skipped."""
        return (self._done + len(self._rest)) / SAMPLE_RATE_HZ

    @property
    def speaking(self) -> bool:
        """Whether somebody is speaking now."""
        return bool(self._frames) and not self._cut

    @property
    def stirring(self) -> bool:
        """Whether somebody is speaking now, or seems to begin."""
        return self.speaking or self._stirs

    @property
    def pause_s(self) -> float:
        """How long somebody who was speaking has been silent: by the detector, or sooner by the level."""
        return self._pause * FRAME_S if self.speaking else 0.0

    def so_far(self, *, cut: bool = False) -> Utterance | None:
        """What has been said of the utterance going on, where somebody is speaking; ``cut`` : no more of it comes."""
        if not self.speaking:
            return None
        voice = np.concatenate([frame for frame, voiced in zip(self._frames, self._voiced, strict=True) if voiced])
        return Utterance(
            samples=np.concatenate(self._frames),
            start_s=self._begun_s,
            level_dbfs=dbfs(voice),
            noise_dbfs=self.noise_dbfs,
            clipped=is_clipped(voice),
            cut=cut,
            voice_s=sum(self._voiced) * FRAME_S,
        )

    @property
    def noise_dbfs(self) -> float:
        """Median level of what was not speech, over the last seconds of it."""
        return self._noise_dbfs

    @property
    def _kept_frames(self) -> int:
        return max(3, round(self.settings.pre_roll_s / FRAME_S))

    # ---- one frame --------------------------------------------------------------------------------------

    def _step(self, frame: NDArray[np.float32]) -> None:
        settings = self.settings
        power = power_of(frame)
        still = not self._frames and dbfs_of(power) < min(_STILL_DBFS, self._noise_dbfs + _STILL_DB)
        probability = self._detector.probability(self._levelling.apply(frame), still=still)
        self._done += FRAME
        if not self._frames:
            self._stirs = probability >= settings.stir and self._done >= self._deaf_until
            self._recent.append(probability >= settings.begin)
            self._before.append(frame)
            if sum(self._recent) >= 2 and self._done >= self._deaf_until:
                self._begin()
            elif probability < settings.keep / 2:
                self._noise.append(power)
                self._noise_dbfs = dbfs_of(statistics.median(self._noise))
                self._levelling.adapt(self._noise_dbfs)
            return
        voiced = probability >= settings.keep
        self._frames.append(frame)
        self._voiced.append(voiced)
        if voiced:
            self._silence = 0
            self._voice_power += power
        else:
            self._silence += 1
        if not voiced or self._is_quiet(power):
            self._pause += 1
        else:
            self._pause, self._whole = 0, None

    def _is_quiet(self, power: float) -> bool:
        """Whether the level alone tells that nothing sounds."""
        return is_quiet_around(self._voice_dbfs, self.noise_dbfs) and dbfs_of(power) <= self._least_dbfs

    def _begin(self) -> None:
        """The utterance has the pre-roll before its first sound, be that voice to the detector or not."""
        frames = list(self._before)
        first = len(frames) - len(self._recent)
        voice_dbfs = dbfs_of(float(np.mean([power_of(frame) for frame in frames[first:]])))
        least = least_dbfs(voice_dbfs, self.noise_dbfs)
        for at in range(first - 1, -1, -1):
            if dbfs(frames[at]) > least:
                first = at
            elif first - at > _QUIET_FRAMES:
                break
        self._frames = frames[max(0, first - self._kept_frames) :]
        self._voiced = [False] * (len(self._frames) - len(self._recent)) + list(self._recent)
        self._begun_s = self._done / SAMPLE_RATE_HZ - len(self._frames) * FRAME_S
        self._silence, self._pause, self._whole = 0, 0, None
        self._voice_power = sum(
            power_of(frame) for frame, voiced in zip(self._frames, self._voiced, strict=True) if voiced
        )

    @property
    def _is_at_end(self) -> bool:
        settings = self.settings
        if self._whole and self._pause * FRAME_S >= settings.whole_s:
            return True
        return self._silence * FRAME_S >= settings.hang_over_s

    @property
    def _waits(self) -> bool:
        """Whether this silence may last longer: by the words, or because there is sound that the detector misses."""
        if self._cut or self._silence * FRAME_S >= self.settings.patience_s:
            return False
        if self._whole is False:
            return True
        return max(map(dbfs, self._frames[-_QUIET_FRAMES:])) > self._least_dbfs

    @property
    def _voice_dbfs(self) -> float:
        return dbfs_of(self._voice_power / max(1, sum(self._voiced)))

    @property
    def _least_dbfs(self) -> float:
        return least_dbfs(self._voice_dbfs, self.noise_dbfs)

    def _end(self, last: Utterance | None) -> list[Utterance]:
        """The utterance going on is over, and what ended it may be the sound before the next one."""
        if last is not None and last.level_dbfs is not None:
            self._levelling.heard(last.level_dbfs)
        tail = self._frames[-self._kept_frames :]
        self._start()
        self._before.extend(tail)
        return [] if last is None else [last]

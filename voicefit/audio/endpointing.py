"""Where an utterance begins and ends in a stream of sound.

Duty: blocks in, utterances out, each whole: with some sound before it, so that a weak first consonant is kept, and with
the silence that ended it. A pause shorter than the hang-over stays inside. It must not reject anything that may be
speech: that is the recogniser's business.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from voicefit.audio.levels import SILENCE_DBFS, is_clipped
from voicefit.audio.voice_activity import FRAME, FRAME_S, Detector, NeuralDetector
from voicefit.errors import BadInput
from voicefit.records import SAMPLE_RATE_HZ, Utterance

if TYPE_CHECKING:
    from numpy.typing import NDArray

_NOISE_S = 3.0
# Measured: the detector finds most, and ends soonest, with voice at about this level; at -60 dBFS it is deaf.
_VOICE_DBFS, _NOISE_DBFS, _MOST_GAIN_DB = -16.0, -40.0, 40.0


@dataclass(frozen=True, slots=True)
class EndpointSettings:
    """Times in seconds, thresholds as probability of voice.

    ``hang_over_s`` : so much silence ends an utterance. ``pre_roll_s`` : so much is kept before the first voice.
    ``longest_s`` : an utterance is cut there. ``least_voice_s`` : less voice than this is a click or a knock.
    ``begin``, ``keep`` : voice begins above the one and goes on above the other.
    ``tail_s`` : for so long after the tool's own voice the echo of it begins no utterance; but a person who answers at
    once is not clipped, for what they said in that time counts as pre-roll.
    """

    hang_over_s: float = 0.41
    pre_roll_s: float = 0.5
    longest_s: float = 15.0
    least_voice_s: float = 0.1
    begin: float = 0.35
    keep: float = 0.25
    tail_s: float = 0.2

    def __post_init__(self) -> None:
        if not (0 <= self.keep <= self.begin <= 1):
            raise BadInput("the endpointing thresholds must satisfy 0 <= keep <= begin <= 1")
        if min(self.hang_over_s, self.pre_roll_s, self.least_voice_s) < 0 or self.longest_s <= self.hang_over_s:
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
        self._detector = detector or NeuralDetector()
        self._rest = np.zeros(0, np.float32)
        self._noise: deque[float] = deque(maxlen=round(_NOISE_S / FRAME_S))  # powers of frames without voice
        self._levels: deque[float] = deque(maxlen=5)  # of the last utterances
        self._gain = 1.0  # of what the detector hears; the utterance keeps its own level
        self._done = 0  # samples of the stream that went through the detector
        self._deaf_until = 0
        self._start()

    def _start(self) -> None:
        self._frames: list[NDArray[np.float32]] = []  # of the utterance going on
        self._voiced: list[bool] = []
        self._before: deque[NDArray[np.float32]] = deque(maxlen=self._kept_frames)
        self._recent: deque[bool] = deque(maxlen=3)
        self._silence = 0  # frames since the last voice
        self._begun_s = 0.0
        self._cut = False  # the rest of what was too long is thrown away until it ends

    # ---- the stream -------------------------------------------------------------------------------------

    def feed(self, block: NDArray[np.float32]) -> list[Utterance]:
        """The utterances that ended within this block (float32, 16 kHz mono, any length)."""
        sound = np.concatenate([self._rest, block]) if len(self._rest) else block
        whole = len(sound) - len(sound) % FRAME
        self._rest = sound[whole:]
        ended = []
        for start in range(0, whole, FRAME):
            utterance = self._step(sound[start : start + FRAME])
            if utterance is not None:
                ended.append(utterance)
        return ended

    def flush(self) -> list[Utterance]:
        """The stream has ended: what is still going on is an utterance too."""
        last = self.feed(np.zeros(FRAME - len(self._rest), np.float32)) if len(self._rest) else []
        if self._frames:
            utterance = self._end()
            if utterance is not None:
                last.append(utterance)
        return last

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
        self._before = deque(self._before, maxlen=self._kept_frames)

    @property
    def now_s(self) -> float:
        """The stream's own time: the end of what was fed or skipped."""
        return (self._done + len(self._rest)) / SAMPLE_RATE_HZ

    @property
    def speaking(self) -> bool:
        """Whether somebody is speaking now."""
        return bool(self._frames) and not self._cut

    @property
    def silence_s(self) -> float:
        """How long somebody who was speaking has been silent."""
        return self._silence * FRAME_S if self.speaking else 0.0

    def so_far(self) -> Utterance | None:
        """What has been said of the utterance going on; ``None`` when too little has."""
        return self._utterance() if self.speaking and self._has_voice else None

    @property
    def noise_dbfs(self) -> float:
        """Median level of what was not speech, over the last seconds of it."""
        return _dbfs(float(np.median(self._noise))) if self._noise else SILENCE_DBFS

    @property
    def _has_voice(self) -> bool:
        return sum(self._voiced) * FRAME_S >= self.settings.least_voice_s

    @property
    def _kept_frames(self) -> int:
        return max(3, round(self.settings.pre_roll_s / FRAME_S))

    # ---- one frame --------------------------------------------------------------------------------------

    def _step(self, frame: NDArray[np.float32]) -> Utterance | None:
        settings = self.settings
        probability = self._detector.probability(frame * np.float32(self._gain))
        self._done += FRAME
        if not self._frames:
            self._recent.append(probability >= settings.begin)
            self._before.append(frame)
            if sum(self._recent) >= 2 and self._done >= self._deaf_until:
                self._frames = list(self._before)
                self._voiced = [False] * (len(self._frames) - len(self._recent)) + list(self._recent)
                self._begun_s = self._done / SAMPLE_RATE_HZ - len(self._frames) * FRAME_S
                self._silence = 0
            elif probability < settings.keep / 2:
                self._noise.append(_power(frame))
                self._set_gain()
            return None
        voiced = probability >= settings.keep
        self._frames.append(frame)
        self._voiced.append(voiced)
        self._silence = 0 if voiced else self._silence + 1
        if self._silence * FRAME_S >= settings.hang_over_s:
            return self._end()
        if len(self._frames) * FRAME_S >= settings.longest_s and not self._cut:
            utterance = self._utterance(cut=True)
            self._cut = True
            return utterance
        if self._cut:
            del self._frames[:-1], self._voiced[:-1]
        return None

    def _end(self) -> Utterance | None:
        utterance = self._utterance() if self._has_voice and not self._cut else None
        if utterance is not None and utterance.level_dbfs is not None:
            self._levels.append(utterance.level_dbfs)
        # What ended it may be the sound before the next one.
        tail = self._frames[-self._kept_frames :]
        self._start()
        self._before.extend(tail)
        return utterance

    def _utterance(self, cut: bool = False) -> Utterance:
        samples = np.concatenate(self._frames)
        voice = np.concatenate([frame for frame, voiced in zip(self._frames, self._voiced, strict=True) if voiced])
        level_dbfs = _dbfs(_power(voice))
        return Utterance(
            samples=samples,
            start_s=self._begun_s,
            level_dbfs=level_dbfs,
            noise_dbfs=self.noise_dbfs,
            clipped=is_clipped(voice),
            cut=cut,
            voice_s=sum(self._voiced) * FRAME_S,
        )

    def _set_gain(self) -> None:
        """Bring the voice to the level that the detector knows best, by the last utterances or else the noise."""
        lacking_db = _VOICE_DBFS - float(np.median(self._levels)) if self._levels else _NOISE_DBFS - self.noise_dbfs
        self._gain = 10 ** (min(max(lacking_db, 0.0), _MOST_GAIN_DB) / 20)


def _power(samples: NDArray[np.float32]) -> float:
    return float(np.mean(np.square(samples, dtype=np.float64)))


def _dbfs(power: float) -> float:
    return max(SILENCE_DBFS, 10.0 * float(np.log10(power + 1e-12)))


def join(first: Utterance, second: Utterance) -> Utterance:
    """Two utterances as one, with the silence between them: for a sentence left hanging ("one and ...")."""
    gap = round((second.start_s - first.start_s) * SAMPLE_RATE_HZ) - len(first.samples)
    overlap = max(0, -gap)  # the second's sound before may lie within the first
    quiet = np.zeros(min(max(0, gap), SAMPLE_RATE_HZ), np.float32)
    levels = [level for level in (first.level_dbfs, second.level_dbfs) if level is not None]
    return Utterance(
        samples=np.concatenate([first.samples, quiet, second.samples[overlap:]]),
        start_s=first.start_s,
        level_dbfs=max(levels, default=None),
        noise_dbfs=second.noise_dbfs,
        clipped=first.clipped or second.clipped,
        cut=second.cut,
        voice_s=(first.voice_s or 0.0) + (second.voice_s or 0.0),
    )

"""Sound in and out: files, microphone, speaker, tones, and where an utterance begins and ends.

Duty: turn sound into :class:`voicefit.records.Utterance` and replies into sound. It must not recognise or understand
anything, and it opens a device only when asked to (PortAudio is imported then, not before).

Inside this room sound is float32, mono, 16 kHz, -1..1, unless a name says otherwise.
"""

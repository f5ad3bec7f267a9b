"""Sound in and out: files, microphone, speaker, tones, and where an utterance begins and ends.

How it works. A microphone (or a file, or a phone) gives blocks; a voice detector, which hears them levelled, gives each
frame of 32 ms a probability of voice. Voice begins above one threshold and goes on above a lower one; an utterance ends
after a silence, sooner where its words are whole and later where they are left hanging (``endpointing``). On the way
there the sound so far is handed out at each pause, so that recognition is done when the end comes (``ears``). While the
tool speaks it does not listen, unless a headset is worn; then a voice over it stops it (``mouth``, ``live``). PortAudio
runs in child processes, one a stream (``devices``): a sound system that hangs is killed with its child.

Duty: turn sound into :class:`voicefit.records.Utterance` and replies into sound. It must not recognise or understand
anything, and it opens a device only when asked to (PortAudio is imported then, not before).

Inside this room sound is float32, mono, 16 kHz, -1..1, unless a name says otherwise.
"""

"""The driver: what an edge brings goes to who is talked to, and what follows from it is done.

How it works. An edge (:class:`~voicefit.audio.live.ConversationSound`: devices, a recording, typed lines, a phone)
gives one event after the other: the sound so far at a pause, an utterance, a silence, a trouble, a typed line.
``drive`` is the one loop over them, for every command that hears or is typed to. At a pause the :class:`Listener`
recognises ahead: by the words it tells the edge whether to wait for more, and has the reply spoken in silence. At the
end of an utterance the transcript, which carries its meanings with their probabilities, goes to the partner: the live
:class:`Talk`, or the hearing check. ``Talk`` hands it as an event to the :class:`Conversation`, which lets the
session decide and performs the effects in their order: a record is durable before the reply that confirms it is
spoken. What the session asks of its edge beside speech (settings, notes, slips) ``Talk`` does, and what comes of it
goes back as an event that belongs to the same answer.

Duty: wire the rooms together. It must not understand, match or word anything.
"""

from voicefit.driver.conversation import Conversation, Hands
from voicefit.driver.opening import grammar_digest, open_knowledge

__all__ = ["Conversation", "Hands", "grammar_digest", "open_knowledge"]

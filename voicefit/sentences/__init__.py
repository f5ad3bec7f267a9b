"""The sentence classifier: of what kind a sentence is that no phrase of the grammar takes.

How it works. The text is cut into word pieces (greedy longest match, as WordPiece does: Schuster and Nakajima 2012, as
used by BERT, Devlin et al. 2019), a small transformer encodes them, and the mean of its states goes through two linear
heads: a softmax over the kinds (a value of what is seen or felt, a command, talk beside the work ...) and the
probability that the sentence denies it. A third goes over each state: the probability that this word belongs to what is
told of the end in hand. The weights were trained on labelled sentences (``training/kinds/``).

Duty: probabilities for a text. It must not decide what follows from them (:mod:`voicefit.interpretation.guessing`).
"""

from voicefit.sentences.classifier import open_classifier

__all__ = ["open_classifier"]

"""Interpretation: spoken words to readings, commands and rejections; and the trade's way of saying a value.

How it works. The files of ``grammar/`` become rules (``loading``, ``sayings``): phrases with slots, and frames that
say of any noun, quality or verb that it is so or that it is not. A text is cut into tokens, short forms written out
(``tokens``), dialect is put into standard words (``dialect``), and speech that repairs itself is mended
(``disfluency``). A chart finds every way in which a rule matches at a place (``chart``), and a match makes its value
(``readings``, ``measuring``, ``numerals``): options with log weights. The search takes the best paths through the
text (``segment``):

    weight of a meaning = sum over its parts of (habit of saying it so + what was asked + its best option's prior)
                          - costs of words passed over, pauses inside a part, numbers that touch

Words that nothing took are passed over or spoil what they stand beside (``leftovers``, ``spoiling``); what was taken
back in the same breath goes (``repairs``), or is denied by a clause of its own (``echoes``); where a text as a whole
answers nothing that was asked, the longest beginning that does counts (``answered_first``). Weights of the meanings of
one text are normalised to sum to one. What no phrase took is of some kind as a sentence, by a classifier that is
handed in (``kinds``, ``guessing``). The recogniser's constraint is written from the same rules, without the forms
that are not offered to it (``constraint``).
"""

from voicefit.interpretation.language import Language

__all__ = ["Language"]

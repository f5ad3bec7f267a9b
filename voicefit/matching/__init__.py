"""From readings to a posterior over all ends, and from it to the next check, the conclusion and the reasons.

How it works. Every end of the catalogue and "none of these" are hypotheses ``e`` with a prior (``prior.py``). A
reading is evidence of one *aspect* of an end (its diameter, pitch, seat, seal ...; ``aspect.py``), and the aspects are
independent given the end. Within an aspect a lasting state ``s`` (wear, a habit, a leaf that seems to fit) stands
between the end and what is said of it, so that repeating a reading does not make a lasting error look certain:

    p(e | readings) ~ p(e) prod over aspects ( sum over s p(s | e) prod over readings p(reading | s) )

which is Bayes' rule with the nuisance state summed out (Jaynes 2003, Probability Theory, sections 4.1 and 8.5); what
was left unsaid (unit, side, half or included angle) is a sum over options in the last factor.
One fact of a piece is told by two aspects: that a port is not cut for its seal (``uncut.py``).
What was asked of an aspect and could not be told is evidence, ``1 - told(e)``: what is not there cannot be told. The
next check is the one that is expected to tell most of the part to order, or to bring the harm of a mistake down most,
per second (``advisor.py``, ``information.py``); it is concluded when that check costs more than it saves
(``decision.py``, ``harm.py``). ``explain.py`` gives each reading's weight of evidence.

Duty: the measurement model, the posterior, the advisor and the explanation. No I/O, no wording for the ear.
"""

from voicefit.matching.advisor import Advisor
from voicefit.matching.anew import of_another_line
from voicefit.matching.checks import CheckEntry, Checks, in_vain, load_checks
from voicefit.matching.explain import Explanation, WeightedReason, nominal, what_else, why, why_not
from voicefit.matching.foresight import same_place
from voicefit.matching.matcher import Ends, Matcher
from voicefit.matching.model import MeasurementModel, load_model
from voicefit.matching.posterior import Posterior
from voicefit.matching.prior import Prior, load_prior
from voicefit.matching.reach import conflict, is_check, known, reach, suspects

__all__ = [
    "Advisor",
    "CheckEntry",
    "Checks",
    "Ends",
    "Explanation",
    "Matcher",
    "MeasurementModel",
    "Posterior",
    "Prior",
    "WeightedReason",
    "conflict",
    "in_vain",
    "is_check",
    "known",
    "load_checks",
    "load_model",
    "load_prior",
    "nominal",
    "of_another_line",
    "reach",
    "same_place",
    "suspects",
    "what_else",
    "why",
    "why_not",
]

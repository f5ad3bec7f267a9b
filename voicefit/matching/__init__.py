"""From readings to a posterior over all ends, and from it to the next check, the conclusion and the reasons.

Duty: the measurement model, the posterior, the advisor and the explanation. No I/O, no wording for the ear.
"""

from voicefit.matching.advisor import Advisor
from voicefit.matching.checks import CheckEntry, Checks, load_checks
from voicefit.matching.explain import Explanation, Reason, nominal, what_else, why, why_not
from voicefit.matching.look_alikes import LookAlike, look_alikes
from voicefit.matching.matcher import Ends, Matcher
from voicefit.matching.model import MeasurementModel, load_model
from voicefit.matching.posterior import Posterior
from voicefit.matching.prior import Prior, load_prior
from voicefit.matching.reach import conflict, is_check, reach

__all__ = [
    "Advisor",
    "CheckEntry",
    "Checks",
    "Ends",
    "Explanation",
    "LookAlike",
    "Matcher",
    "MeasurementModel",
    "Posterior",
    "Prior",
    "Reason",
    "conflict",
    "is_check",
    "load_checks",
    "load_model",
    "load_prior",
    "look_alikes",
    "nominal",
    "reach",
    "what_else",
    "why",
    "why_not",
]

"""From readings to a posterior over all ends, and from it to the next check, the conclusion and the reasons.

Duty: the measurement model, the posterior, the advisor and the explanation. No I/O, no wording for the ear.
"""

from voicefit.matching.matcher import Ends, Matcher, Posterior
from voicefit.matching.model import MeasurementModel, load_model
from voicefit.matching.prior import Prior, load_prior

__all__ = ["Ends", "Matcher", "MeasurementModel", "Posterior", "Prior", "load_model", "load_prior"]

"""What follows an identification (core, no I/O): mates, seals, adapters, hose assemblies, order slip, the shop's stock.

    ordering = Ordering.build(load_catalogue(data), data)
    follow = ordering.follow_up("flare30-g/6/female")
    slip = job_slip(ordering, JobFacts(job="3f9c21ab-2", ends=(EndFacts("flare30-g/6/female"),)))

Duty: compute from the catalogue and say what has no figure. It must not read files, word anything for the ear, or draw.
"""

from voicefit.ordering.job_slip import EndFacts, HoseOrder, JobFacts, job_slip
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import OrderSlip

__all__ = ["EndFacts", "HoseOrder", "JobFacts", "OrderSlip", "Ordering", "job_slip"]

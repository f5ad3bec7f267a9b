"""What follows an identification (core, no I/O): mates, seals, adapters, hose assemblies, order slip, the shop's stock.

    ordering = Ordering.build(load_catalogue(data), data)
    follow = ordering.follow_up("flare30-g/6/female")
    slip = job_slip(ordering, JobFacts(job="3f9c21ab-2", ends=(EndFacts("flare30-g/6/female"),)))

How it works. Two ends mate where their threads are of one form and size and they seal on each other: cone in cone, face
on face, stud in the port of its own standard, taper in taper. What only screws together, by pitch, pitch diameter and
the height of the flanks that touch, is a mistake to be warned of (``mating``). From a pair follow the seal, its ring or
washer, and the figures whose conditions suit the joint (``follow``). What does not mate is joined over adapters, the
shortest chain that the tables have (``adapters``). A hose is what fits the facts that were said (``hose``); an assembly
holds what its weakest part holds, and bears its bend when it is as long as the arc and the straight ends that it needs
(``assembly``, which has the conventions). A slip is a document of all of it, each figure with its source (``slip``,
``job_slip``).

Duty: compute from the catalogue and say what has no figure. It must not read files, word anything for the ear, or draw.
"""

from voicefit.ordering.job_slip import EndFacts, HoseOrder, JobFacts, job_slip
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import OrderSlip

__all__ = ["EndFacts", "HoseOrder", "JobFacts", "OrderSlip", "Ordering", "job_slip"]

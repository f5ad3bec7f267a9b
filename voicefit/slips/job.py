"""The order slip of a job of a live or replayed session.

Duty: put the session's facts and what only the edge knows (the job's id, times, the shop's stock) together.
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue import Session
from voicefit.ordering.job_slip import StockLookUp, job_slip, nothing_in_stock
from voicefit.ordering.slip import OrderSlip


def slip_of_job(
    session: Session,
    number: int,
    *,
    job_id: str,
    opened_at: str = "",
    written_at: str = "",
    stock: StockLookUp = nothing_in_stock,
) -> OrderSlip:
    """The slip of the session's job ``number``, under the id by which the journal knows it.

    Raises ``KeyError`` when the session has no such job.
    """
    facts = replace(session.job_facts(number), job=job_id, opened_at=opened_at, written_at=written_at)
    return job_slip(session.knowledge.aftercare.ordering, facts, stock)

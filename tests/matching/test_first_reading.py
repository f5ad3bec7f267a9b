"""What leads after one reading: an end that is met often. A series of few sizes must not lead by being short.

How often is common practice, no source: ``data/prior.toml``.
"""

from __future__ import annotations

import pytest

from tests.matching.saying import said
from voicefit.matching import Matcher, Posterior, Prior

COMMON = 0.7  # the least weight of a series that may lead when next to nothing is known


@pytest.mark.parametrize(
    "reading",
    [
        *(("gender", each) for each in ("male", "female", "port", "stud")),
        *(("seat_form", each) for each in ("convex", "recessed", "flat", "shoulder", "none")),
        *(("seal", each) for each in ("metal", "cone_o_ring", "face_o_ring", "base_o_ring", "washer", "thread")),
        *(("seal", each) for each in ("cutting_ring", "flange_o_ring", "bore_o_ring")),
        *(("shape", each) for each in ("threaded", "banjo", "flange", "coupler")),
        *(("taper", each) for each in ("tapered", "parallel")),
        *(("body", each) for each in ("housing", "loose")),
        ("line", "hydraulic"),
        *(("seat_angle", f"{each} deg") for each in (24, 30, 37, 45, 60, 74)),
        *(("flank_angle", f"{each} deg") for each in (55, 60)),
        *(("pitch", each) for each in ("1.5 mm", "2 mm", "11 tpi", "12 tpi", "14 tpi", "16 tpi", "18 tpi", "19 tpi")),
    ],
    ids=" ".join,
)
def test_what_leads_is_common(reading: tuple[str, str], matcher: Matcher, prior: Prior) -> None:
    posterior = Posterior(matcher, [said(*reading)])
    leader = matcher.ends[posterior.best_parts(1)[0][0]]
    assert prior.series.get(leader.series, 1.0) >= COMMON, leader.id

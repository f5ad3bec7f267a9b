"""That the end has none of what was asked about is an answer: evidence, and a reason not to ask again."""

from __future__ import annotations

from tests.matching.saying import said
from voicefit.matching import Advisor, Matcher


def test_what_is_absent_speaks_for_ends_without_it(matcher: Matcher) -> None:
    """ "No thread" is an answer: a flange, a coupler or a staple has none (their standards); so is "no tube"."""
    none = matcher.posterior([said("pitch", "absent")])
    threaded = [row for row, end in enumerate(matcher.ends) if end.thread is not None]
    assert none.p[threaded].sum() < 0.1 < matcher.posterior(()).p[threaded].sum()
    cones = [row for row, end in enumerate(matcher.ends) if end.tube_od_mm is not None]
    tube = matcher.posterior([said("tube_outside_diameter", "absent")])
    assert tube.p[cones].sum() < matcher.posterior(()).p[cones].sum()
    seal = matcher.posterior([said("seal", "absent"), said("seat_form", "absent")])
    assert seal.p[-1] < 0.5


def test_what_is_absent_is_not_asked_about_again(matcher: Matcher, advisor: Advisor) -> None:
    said_none = [said("seat_form", "convex"), said("tube_outside_diameter", "absent", asked="tube")]
    assert "tube" not in {check.id for check in advisor.worth(matcher.posterior(said_none))}
    assert "tube" in {check.id for check in advisor.worth(matcher.posterior(said_none[:1]))}

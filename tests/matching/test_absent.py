"""That the end has none of what was asked about is an answer: evidence, and a reason not to ask again."""

from __future__ import annotations

from tests.matching.saying import said
from voicefit.matching import Advisor, Matcher, Posterior, in_vain


def test_what_is_absent_speaks_for_ends_without_it(matcher: Matcher) -> None:
    """ "No thread" is an answer: a flange, a coupler or a staple has none (their standards); so is "no tube"."""
    none = Posterior(matcher, [said("pitch", "absent")])
    threaded = [row for row, end in enumerate(matcher.ends) if end.thread is not None]
    assert none.p[threaded].sum() < 0.1 < Posterior(matcher, ()).p[threaded].sum()
    cones = [row for row, end in enumerate(matcher.ends) if end.tube_od_mm is not None]
    tube = Posterior(matcher, [said("tube_outside_diameter", "absent")])
    assert tube.p[cones].sum() < Posterior(matcher, ()).p[cones].sum()
    seal = Posterior(matcher, [said("seal", "absent"), said("seat_form", "absent")])
    assert seal.p[-1] < 0.5


def test_what_is_absent_is_not_asked_about_again(matcher: Matcher, advisor: Advisor) -> None:
    said_none = [said("seat_form", "convex"), said("tube_outside_diameter", "absent", asked="tube")]
    assert "tube" not in {check.id for check in advisor.worth(Posterior(matcher, said_none))}
    assert "tube" in {check.id for check in advisor.worth(Posterior(matcher, said_none[:1]))}


def test_what_cannot_be_told_speaks_for_ends_without_it_and_less_than_that_it_is_absent(
    matcher: Matcher, advisor: Advisor
) -> None:
    """A flat face has no seat angle, a port's flange no head; dirt may hide either, so it is weaker than "none"."""
    before = [said("seal", "metal")]
    seated = [row for row, end in enumerate(matcher.ends) if end.seat_half_angle_deg is not None]
    nothing, once, twice = (
        float(Posterior(advisor.matcher, before, in_vain(advisor.checks, untold)).p[seated].sum())
        for untold in ((), ("seat-angle",), ("seat-angle", "seat-gauge"))
    )
    absent = float(Posterior(matcher, [*before, said("seat_angle", "absent")]).p[seated].sum())
    assert absent < once < 0.6 * nothing
    assert 0.3 * once < twice < once  # who could not see it hardly sees it another way


def test_what_was_read_after_all_or_only_more_coarsely_could_be_told(advisor: Advisor) -> None:
    for reading, untold in (
        (said("seat_angle", "37 deg"), "seat-angle"),
        (said("tube_outside_diameter", "1/2 in"), "tube-fine"),
        (said("gender", "male"), "tube-fine"),
        (said("gender", "male"), "no-such-check"),
    ):
        plain, with_it = (
            Posterior(advisor.matcher, [reading]),
            Posterior(advisor.matcher, [reading], in_vain(advisor.checks, [untold])),
        )
        assert (plain.log_p == with_it.log_p).all(), untold

"""Markings, beliefs and countries: each speaks for what it names, weakly, and is counted once.

How often they are right is common practice, no source: ``claim`` of ``measurement.toml``, ``origins.csv``.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tests.matching.saying import one_of, option, said
from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.matching import Advisor, Matcher, MeasurementModel, Posterior, Prior
from voicefit.matching.decision import Stakes
from voicefit.matching.model import Rate
from voicefit.records import Measurand, Reading

NAMED = [
    ("series", "flare37", "series", lambda end: end.series),
    ("thread_system", "UN", "system", lambda end: end.thread and end.thread.system),
    ("thread_size", "9/16 in", "size", lambda end: end.thread and (end.thread.size, end.thread.size_unit)),
    ("dash", "6 dash", "dash", lambda end: end.dash),
]
SAID = {"flare37": "flare37", "UN": "UN", "9/16 in": ("9/16", "in"), "6 dash": 6}


@pytest.mark.parametrize(("measurand", "text", "rate", "of"), NAMED, ids=[each[0] for each in NAMED])
def test_a_name_is_right_as_often_as_the_model_says(
    measurand: str,
    text: str,
    rate: str,
    of: Callable[[CandidateEnd], object],
    matcher: Matcher,
    model: MeasurementModel,
) -> None:
    """And otherwise any of the others, one as likely as the next; an end without such a name may be called anything."""
    right: Rate = getattr(model.claim, rate)
    likelihood = np.exp(matcher.log_likelihood(said(measurand, text)))
    names = [of(end) for end in matcher.ends]
    others = len(set(names) - {None, SAID[text]})
    wrong = 1 - right - (2 * model.claim.dash_next if measurand == "dash" else 0)
    for end, name, share in zip(matcher.ends, names, likelihood, strict=False):
        if name == SAID[text]:
            assert share == pytest.approx(right), end.id
        elif name is None:
            assert 0.5 / (others + 2) < share < 2 / (others + 1), end.id
        elif measurand != "dash" or name in (4, 12, 16):  # of dashes the next are likelier
            assert 0.5 * wrong / (others + 2) < share < 2 * wrong / others, end.id
    assert 0.5 / (others + 2) < likelihood[-1] < 2 / (others + 1)


def test_a_country_weighs_as_its_table_says(matcher: Matcher, catalogue: Catalogue) -> None:
    """Between any two series by the odds of ``origins.csv``, one where nothing is said, and never more than nine."""
    for country, log_odds in catalogue.origins.items():
        by_end = matcher.log_likelihood(said("country", country))
        of = {end.series: float(by_end[row]) for row, end in enumerate(matcher.ends)}
        plain = next(value for series, value in of.items() if series not in log_odds)
        for series, value in of.items():
            assert value - plain == pytest.approx(log_odds.get(series, 0.0)), (country, series)
        assert float(by_end[-1]) == pytest.approx(plain) and max(of.values()) - min(of.values()) < np.log(9.01)
    nowhere = matcher.log_likelihood(said("country", "nowhere"))
    assert np.ptp(nowhere) == 0


@pytest.mark.parametrize("claim", [said(each[0], each[1]) for each in NAMED] + [said("country", "japan")])
def test_a_claim_said_again_says_no_more(claim: Reading, matcher: Matcher) -> None:
    once, thrice = (matcher.joint_log_likelihood([claim] * n) for n in (1, 3))
    np.testing.assert_array_equal(once, thrice)


def test_how_words_fit_is_weighed_against_words_about_nothing_in_particular(matcher: Matcher) -> None:
    """Before anything is known a common pitch fits a little better than any leaf would, an odd one worse."""
    eighteen, odd, silent = matcher.weigh(
        [], [[said("pitch", "18 tpi")], [said("pitch", "3.5 mm")], [said("length", "900 mm")]]
    )
    leaves = len(matcher.aspect(Measurand.PITCH).outcomes)
    assert 0 < eighteen < np.log(leaves) and odd < -0.5 and silent == pytest.approx(0)


def test_none_of_these_keeps_its_share_however_even_the_parts_are(
    matcher: Matcher, prior: Prior, model: MeasurementModel, catalogue: Catalogue
) -> None:
    """Parts that are met seldom are raised to within the prior's odds; that it is no end of the tables is not."""
    for odds in (1.0, 1e12):
        decision = model.decision.model_copy(update={"prior_odds": odds})
        one = Matcher(catalogue, prior, model.model_copy(update={"decision": decision}))
        stake = Stakes(one).of(Posterior(one, []))
        parts = np.bincount(one.part_of, np.exp(one.log_prior))
        if odds > 1:
            np.testing.assert_allclose(stake.part_p, parts, rtol=1e-9)
            continue
        assert np.ptp(stake.part_p[:-1]) == pytest.approx(0, abs=1e-12)
        assert stake.part_p[-1] / stake.part_p[0] == pytest.approx(prior.none.share / parts[:-1].max())


def test_what_a_value_is_hardly_taken_for_is_still_asked_for(matcher: Matcher, advisor: Advisor) -> None:
    """ "Nineteen" is mostly a pitch, and read back as one: the diameter is still asked for. Where the one is as likely
    as the other, neither is."""
    for log_weight, asked in ((-1.2, True), (0.9, False)):
        bare = one_of(option("pitch", "19 tpi"), option("outside_diameter", "19 mm", log_weight))
        posterior = Posterior(matcher, [said("gender", "male"), bare])
        ids = {check.id for check in advisor.worth(posterior)}
        assert ("outside-diameter" in ids) == asked and "pitch" not in ids


def test_bores_weigh_from_their_own_up_to_the_next(prior: Prior, catalogue: Catalogue) -> None:
    """Small and large lines are met less: within a series by ``bore`` of ``prior.toml``."""
    shop = prior.model_copy(update={"bore": {6: 3.0, 12: 5.0}, "gender": {}})
    p = np.exp(shop.log_prior(catalogue.ends))
    weight: dict[tuple[str, int | None], float] = {}
    for end, share in zip(catalogue.ends, p, strict=False):
        if end.id == end.part and sum(each.part == end.part for each in catalogue.ends) == 1:
            weight.setdefault((end.series, end.dn), float(share))
    by_dn = {dn: weight["orb", dn] for dn in (3, 6, 10, 12, 25)}
    for dn, times in ((6, 3), (10, 3), (12, 5), (25, 5)):
        assert by_dn[dn] / by_dn[3] == pytest.approx(times)


@pytest.mark.parametrize(
    ("series", "size", "dash"), [("flange61", "1 in", 16), ("flange62", "5/4 in", 20), ("coupler-flat", "1/2 in", 8)]
)
def test_an_end_without_a_thread_goes_by_its_nominal_size(
    series: str, size: str, dash: int, matcher: Matcher, catalogue: Catalogue
) -> None:
    """A one-inch code 61 flange is a dash 16."""
    posterior = Posterior(matcher, [said("series", series), said("thread_size", size)])
    leader, _ = posterior.best_parts(1)[0]
    assert (matcher.ends[leader].series, matcher.ends[leader].dash) == (series, dash)


@pytest.mark.parametrize("size", ["1/2 in", "3/4 in", "1 in"])
def test_a_size_speaks_for_no_end_without_a_thread(size: str, matcher: Matcher) -> None:
    """Over all their sizes it is as likely as of what is none of these; only among them it tells."""
    likelihood = np.exp(matcher.log_likelihood(said("thread_size", size)))
    of = {
        end.dash: share for end, share in zip(matcher.ends, likelihood, strict=False) if end.thread is None and end.dash
    }
    assert np.mean(list(of.values())) == pytest.approx(likelihood[-1])

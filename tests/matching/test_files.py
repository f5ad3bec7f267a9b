"""The room's files: the measurement model, the prior and the checks, as shipped and when they are wrong."""

from __future__ import annotations

import doctest
import importlib
import re

import numpy as np
import pytest

from voicefit.catalogue import Catalogue
from voicefit.errors import BadGrammar, BadTable
from voicefit.matching import Checks, Matcher, MeasurementModel, Prior, load_checks, load_model, load_prior
from voicefit.quantities import Quantity, Unit, exact
from voicefit.records import Measurand, Option


def test_every_number_says_where_it_is_from(model: MeasurementModel, prior: Prior) -> None:
    assert len(model.numbers) > 70
    assert len(prior.numbers) > 15
    assert len(model.harm.numbers) > 5
    for number in (*model.numbers.values(), *prior.numbers.values(), *model.harm.numbers.values()):
        assert number.source and number.basis


@pytest.mark.parametrize(
    ("change", "names"),
    [
        (("gross = { value = 0.01", "gross = { value = 1.5"), "caliper.gross"),
        (("gross = { value = 0.01", "grosss = { value = 0.01"), "caliper.gross"),
        (("sd_deg = { value = 1.0, source", "sd_deg = { value = 1.0, sauce"), "seat_gauge.sd_deg"),
        (("[0.55, 0.35, 0.10]", "[0.55, 0.35]"), "thread_condition"),
        (("[0.55, 0.35, 0.10]", "[0.55, 0.35, 0.20]"), "thread_condition"),
        (("convex = { value = { recessed", "konvex = { value = { recessed"), "seat_form"),
    ],
)
def test_a_wrong_number_is_named(change: tuple[str, str], names: str, data: dict[str, str]) -> None:
    broken = data["measurement.toml"].replace(*change, 1)
    assert broken != data["measurement.toml"]
    with pytest.raises(BadTable, match=re.escape(names)) as caught:
        load_model({**data, "measurement.toml": broken})
    assert caught.value.file == "measurement.toml"


def test_a_wrong_harm_is_named(data: dict[str, str]) -> None:
    broken = data["harm.toml"].replace("second_trip_s = { value = ", "second_trip_s = { value = -", 1)
    with pytest.raises(BadTable, match=re.escape("harm.second_trip_s")) as caught:
        load_model({**data, "harm.toml": broken})
    assert caught.value.file == "harm.toml"
    with pytest.raises(BadTable, match=r"harm\.toml: the file is missing"):
        load_model({"measurement.toml": data["measurement.toml"]})


def test_a_bare_value_is_refused(data: dict[str, str]) -> None:
    broken = re.sub(r"turn_s = \{[^}]*\}", "turn_s = 12", data["measurement.toml"])
    with pytest.raises(BadTable, match=r"decision\.turn_s.*source and basis"):
        load_model({**data, "measurement.toml": broken})


@pytest.mark.parametrize("load", [load_model, load_prior])
def test_a_missing_or_broken_file_is_named(load: object) -> None:
    name = "measurement.toml" if load is load_model else "prior.toml"
    with pytest.raises(BadTable, match=f"{name}: the file is missing"):
        load({})  # type: ignore[operator]  # one of two loaders
    with pytest.raises(BadTable, match=f"{name}: is not TOML"):
        load({name: "= nonsense"})  # type: ignore[operator]  # likewise


def test_the_prior_sums_to_one_and_follows_its_table(prior: Prior, catalogue: Catalogue) -> None:
    p = np.exp(prior.log_prior(catalogue.ends))
    assert p.sum() == pytest.approx(1.0)
    assert p[-1] == pytest.approx(prior.none.share)
    series = {end.series for end in catalogue.ends}
    total = {s: p[:-1][[end.series == s for end in catalogue.ends]].sum() for s in series}
    assert total["flare37"] / total["flare45"] == pytest.approx(prior.series["flare37"] / prior.series["flare45"])
    assert set(prior.series) <= series


def test_a_shop_can_change_the_prior(catalogue: Catalogue) -> None:
    text = '[none]\nshare = { value = 0.02, source = "our shop", basis = "common practice" }\n'
    text += '[series]\norfs = { value = 50, source = "our shop", basis = "common practice" }\n'
    p = np.exp(load_prior({"prior.toml": text}).log_prior(catalogue.ends))
    orfs = [end.series == "orfs" for end in catalogue.ends]
    assert p[:-1][orfs].sum() > 0.5


def test_a_negative_weight_is_named() -> None:
    text = '[none]\nshare = { value = 0.02, source = "x", basis = "memory" }\n'
    text += '[series]\norfs = { value = -1, source = "x", basis = "memory" }\n'
    with pytest.raises(BadTable, match=r"series\.orfs"):
        load_prior({"prior.toml": text})


# ---- checks -----------------------------------------------------------------------------------------------


def test_prompts_are_short_and_end_in_what_is_asked(checks: Checks) -> None:
    for entry in checks.values():
        filled = entry.prompt.format(leaf="one and three quarter millimeter", angle="thirty seven")
        assert len(entry.prompt.split()) <= 12, entry.id
        assert filled.endswith("?")
        assert all(step.endswith(".") for step in (*entry.how, entry.by_touch)), entry.id
        assert 0 < entry.time_s <= 60


def test_every_check_has_words_time_and_an_error_model(checks: Checks, matcher: Matcher) -> None:
    """Prompt, how-to, by-touch variant, time; and answers that are sometimes wrong, by the measurement model."""
    for entry in checks.values():
        assert entry.prompt and entry.how and entry.by_touch and entry.time_s > 0, entry.id
        assert matcher.tells(entry.measurand), entry.id
        aspect = matcher.aspect(entry.measurand)
        commonest = int(np.argmax(np.exp(aspect.log_states[:-1]).sum(axis=0)))
        check = entry.check(aspect.outcomes[commonest].value if entry.slot else None)
        every = np.arange(aspect.n_classes)
        states = aspect.states((), every)
        if check.yes is None:
            chances = aspect.foresee_open(states, check.measurand, every)
        else:
            yes = aspect.foresee(states, check.yes, every)
            chances = np.stack([yes, 1 - yes], axis=1)
        sure = chances[:-1].max(axis=1)  # of the classes of ends, the last is "none of these"
        assert sure.max() < 1, entry.id  # never certain: every answer may be a slip
        assert np.ptp(chances, axis=0).max() > 0.1, entry.id  # and it tells ends apart


def test_who_cannot_tell_is_not_asked_the_same_in_other_words(checks: Checks) -> None:
    assert checks["seat-out"].barred({"seat-form"}) and checks["seat-out"].barred({"seat-out"})
    assert not checks["seat-form"].barred({"seat-out"})
    assert not checks["leaf"].barred({"pitch"})  # one leaf is tried more easily than the right one is found
    for entry in checks.values():
        assert entry.same_as is None or checks[entry.same_as].measurand is entry.measurand


def test_yes_and_no_mean_the_opposite(checks: Checks) -> None:
    for entry in checks.values():
        if entry.yes is None:
            continue
        value = Quantity(exact(19), Unit.THREADS_PER_INCH) if entry.slot else None
        check = entry.check(value)
        assert check.yes is not None and check.no is not None
        assert check.yes.value == check.no.value
        assert check.yes.negated != check.no.negated
    gap = checks["leaf"].check(Quantity(exact(19), Unit.THREADS_PER_INCH))
    assert gap.yes == Option(Measurand.PITCH, Quantity(exact(19), Unit.THREADS_PER_INCH), negated=True)


@pytest.mark.parametrize(
    ("change", "names"),
    [
        (("Was that inside the nut?", "Was that inside the nut"), "does not end in what is asked"),
        (("Was that inside the nut?", "Was that " + "really " * 10 + "inside the nut?"), "more than 12 words"),
        (('yes = "is"', 'yes = "maybe"'), "yes"),
        (("Try the {leaf} leaf", "Try the {leave} leaf"), "slots of prompt and value differ"),
        (('id = "side"', 'id = "gender"'), "twice"),
        (('same_as = "seat-form"', 'same_as = "seat-norm"'), "seat-out.*'seat-norm' is no other check"),
        (('id = "side"', 'id = "Side!"'), "id"),
        (("time_s = 2\n", "time_s = 0\n"), "time_s"),
    ],
)
def test_a_wrong_check_is_named(change: tuple[str, str], names: str, grammar: dict[str, str]) -> None:
    broken = grammar["checks.toml"].replace(*change, 1)
    assert broken != grammar["checks.toml"]
    with pytest.raises(BadGrammar, match=names):
        load_checks({"checks.toml": broken})


@pytest.mark.parametrize("name", ["aspect", "advisor", "diameter", "matcher", "information", "explain"])
def test_examples_in_docstrings_run(name: str) -> None:
    assert doctest.testmod(importlib.import_module(f"voicefit.matching.{name}")).failed == 0


def test_how_often_each_series_is_met_is_said(catalogue: Catalogue, prior: Prior) -> None:
    """One that nobody weighed would lead wherever it has few sizes."""
    assert set(prior.series) == set(catalogue.series)

"""The matching benchmark runs and its figures are what they say; speed is printed, never asserted."""

from __future__ import annotations

import json

import numpy as np
import pytest

from benchmarks import matching, mistakes, technician
from benchmarks.jobs import FIXED_ORDER, Job, Tally, calibration
from benchmarks.piece import Piece
from voicefit.catalogue import load_catalogue
from voicefit.matching import load_checks, load_model
from voicefit.records import Measurand, Option
from voicefit.resources import data_folder, grammar_folder, read_texts

FIELDS = (
    "right_at_stop",
    "confident_wrong",
    "confident_wrong_grave",
    "likely_right",
    "turns_mean",
    "four_or_fewer",
    "open",
    "open_truth_in_two",
    "checks_mean",
    "checks_p95",
    "seconds_mean",
    "fixed_order_checks_mean",
    "bound_checks",
    "update_ms",
    "advice_ms",
    "growth",
    "calibration",
)


def test_a_small_run_prints_one_document(capsys: pytest.CaptureFixture[str]) -> None:
    assert matching.main(["--ends", "all", "--trials", "8", "--seed", "7", "--no-growth", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert set(FIELDS) <= set(document)
    assert document["trials"] == 8
    assert 0 <= document["confident_wrong"] <= document["open"] + document["right_at_stop"] <= 2
    assert 1 <= document["bound_checks"] <= document["checks_mean"] < document["fixed_order_checks_mean"]
    assert document["reduced_best_checks"] <= document["reduced_checks"] + 1e-9
    assert {"ends", "update_ms", "advice_ms"} <= set(document["growth"][0])


def test_figures_of_a_tally() -> None:
    jobs = [
        Job("identified", True, True, 4, 50.0, 3, steps=((0.95, True),)),
        Job("identified", False, False, 8, 70.0, 5, grave=True, steps=((0.97, False),)),
        Job("open", False, True, 9, 90.0),
        Job("open", True, True, 11, 110.0),
    ]
    figures = Tally(jobs).figures()
    assert figures["right_at_stop"] == 0.5
    assert figures["confident_wrong"] == 0.25
    assert figures["open"] == 0.5 and figures["open_truth_in_two"] == 1.0
    assert figures["confident_wrong_grave"] == 0.25 and figures["likely_right"] == 0.5
    assert figures["checks_mean"] == 8.0 and figures["turns_mean"] == 2.0
    assert figures["four_or_fewer"] == 0.25
    [row] = calibration(jobs)
    assert row["count"] == 2 and row["true"] == 0.5 and row["said"] == pytest.approx(0.96)


def test_the_sheet_names_real_checks() -> None:
    assert set(FIXED_ORDER) <= set(load_checks(read_texts(grammar_folder(), ".toml")))


def test_mistakes_are_made_as_often_as_stated() -> None:
    """Wrong leaf 5 %, inside for outside 3 %, half for included 10 %, misheard 2 %, four of five corrected."""
    catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    checks = load_checks(read_texts(grammar_folder(), ".toml"))
    random = np.random.default_rng(1)
    end = catalogue.by_id["bspp-cone60/6/female"]
    n = 3000
    people = [technician.Technician(end, random) for _ in range(n)]

    def share(check: str, wrong: object) -> float:
        answers = [person.answer(checks[check].check()) for person in people]
        options = [answer.options[0] for answer in answers if answer is not None]
        return sum(bool(wrong(option)) for option in options) / len(options)  # type: ignore[operator]  # a predicate

    def leaf(option: Option) -> bool:
        return float(option.value.value) != 19  # type: ignore[union-attr]  # a quantity

    assert share("pitch", leaf) == pytest.approx(0.05 + 0.02 * 0.2, abs=0.012)
    assert share("diameter", lambda o: o.measurand is Measurand.OUTSIDE_DIAMETER) == pytest.approx(0.03, abs=0.01)
    assert share("seat-angle", lambda o: float(o.value.value) == 30) == pytest.approx(0.10, abs=0.02)


def test_the_technicians_mistakes_are_not_copied_from_the_matcher() -> None:
    """A matcher that is tried with its own numbers looks better than it is. That the technician knows nothing else of
    it is a contract of the imports (``pyproject.toml``)."""
    model = load_model(read_texts(data_folder(), ".toml"))
    for made, assumed in (
        (mistakes.WRONG_LEAF, model.pitch_gauge.neighbour),
        (mistakes.WRONG_SIDE, model.caliper.side),
        (mistakes.HALF_FOR_INCLUDED, model.seat_gauge.half_said_cone),
        (mistakes.HALF_FOR_INCLUDED, 1 - model.seat_gauge.half_said_flare),
        (mistakes.MISHEARD, model.caliper.gross),
        (mistakes.MISHEARD, model.length.gross),
        (mistakes.MISHEARD, model.pitch_gauge.gross),
        (mistakes.WRONG_SEAT_LEAF, model.seat_gauge.neighbour),
        (mistakes.WRONG_FORM, model.seat_form.seen),
        (mistakes.WRONG_SEAL, model.seal.seen),
        (mistakes.WRONG_GENDER, model.gender.seen),
        (mistakes.WRONG_SHAPE, model.shape.seen),
        (mistakes.WRONG_NOSE, model.nose.seen),
        (mistakes.WRONG_TAPER, model.taper.seen),
        (mistakes.WRONG_FLANK, model.flank_angle.seen),
        (mistakes.WRONG_CREST, model.crest.seen),
        (mistakes.CRESTS_CUT, model.crest.seen_kept),
        (mistakes.WRONG_MOUTH, model.length.mouth_other),
        (mistakes.WRONG_FACE, model.seat_form.seen),
        (mistakes.PORT_CUT_WRONG, model.seal.port_metal * model.seal.port_uncut),
        *((mistakes.MILLED_ANYWAY, share) for share in model.seat_form.faced.values()),
        *((mistakes.SPOT_FACE_MISSING, 1 - share) for share in model.seat_form.faced.values()),
        (mistakes.WRONG_YES_NO, model.answer.turned_round),
        (mistakes.OWN_HEX, model.length.hex_other),
    ):
        assert abs(made - assumed) > 0.001, (made, assumed)
    assert mistakes.MALE_WEAR_MM not in model.thread_condition.wear_mm
    jaws = {jaw for *_, jaw in mistakes.INSTRUMENTS}
    assert not jaws & {model.caliper.fraction_sd_mm, model.caliper.decimal_sd_mm}, jaws


def test_threads_are_worn() -> None:
    """A male thread reads under its basic size by 0.05 to 0.3 mm, common practice: so do the pieces drawn."""
    catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    random = np.random.default_rng(5)
    end = catalogue.by_id["flare37/6/male"]
    assert end.thread is not None
    under = [end.thread.major_diameter_mm - (Piece(end, random).diameter_mm or 0.0) for _ in range(2000)]
    assert 0.05 < np.median(under) < 0.3
    assert np.percentile(under, 95) > 0.3


def test_a_flange_whose_body_is_not_listed_can_be_measured() -> None:
    catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    checks = load_checks(read_texts(grammar_folder(), ".toml"))
    random = np.random.default_rng(6)
    end = catalogue.by_id["flange-pump/51/male"]
    assert end.flange is not None and end.flange.head_diameter_mm is None
    for check in ("flange-head", "flange-thickness"):
        answers = [technician.Technician(end, random).answer(checks[check].check()) for _ in range(50)]
        assert sum(answer is not None for answer in answers) > 40


def test_a_spot_face_is_looked_for_by_whoever_is_asked_about_it() -> None:
    catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    check = load_checks(read_texts(grammar_folder(), ".toml"))["spot-face"].check()
    random = np.random.default_rng(7)

    def yes(end: str) -> float:
        answers = [technician.Technician(catalogue.by_id[end], random).answer(check) for _ in range(400)]
        return sum(answer is not None and not answer.options[0].negated for answer in answers) / len(answers)

    assert yes("metric-port/22/port") > 0.85 and yes("metric-taper/22/port") < 0.5

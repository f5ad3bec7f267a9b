"""Every row that something outside has agrees with it, and the README counts them."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

from tests.catalogue import outside
from tests.catalogue.outside import COMPARISONS, Comparison
from voicefit.catalogue import Catalogue
from voicefit.resources import data_folder

# The 900 and metric rings, some tubes, the pipe of 1/16 and a flange's screw are in no open table.
PARTLY = {"rings", "inch_tubes", "pipes", "flange_screws"}


@pytest.mark.parametrize("compare", COMPARISONS, ids=lambda compare: compare.__name__)
def test_rows_agree_with_what_is_outside(
    compare: Callable[[Catalogue, Mapping[str, str]], Comparison], catalogue: Catalogue, texts: dict[str, str]
) -> None:
    done = compare(catalogue, texts)
    for pair in done.pairs:
        assert abs(pair.ours - pair.theirs) <= pair.within, pair
    assert done.compared <= done.of
    if compare.__name__ not in PARTLY:
        assert done.compared == done.of > 0


def test_every_thread_is_compared(catalogue: Catalogue, texts: dict[str, str]) -> None:
    threads = (
        *(outside.parallel_pipe, outside.taper_pipe, outside.american_taper, outside.american_straight),
        *(outside.unified, outside.metric, outside.metric_taper),
    )
    compared = {pair.row for compare in threads for pair in compare(catalogue, texts).pairs}
    # No open table has the threads of cylinder outlets; they are held against their form in test_threads.
    assert compared == {name for name, thread in catalogue.threads.items() if thread.system != "W"}


def test_all_inch_rings_but_those_of_bosses_are_compared(catalogue: Catalogue, texts: dict[str, str]) -> None:
    compared = {pair.row for pair in outside.rings(catalogue, texts).pairs}
    assert compared == {ring.id for ring in catalogue.orings.values() if ring.as568 is not None and ring.as568 < "900"}


def test_the_readme_counts_them(catalogue: Catalogue, texts: dict[str, str]) -> None:
    readme = (data_folder() / "README.md").read_text(encoding="utf-8")
    assert f"{outside.BEGIN}\n{outside.table_of(catalogue, texts)}\n{outside.END}" in readme, (
        "run python -m tests.catalogue.outside"
    )

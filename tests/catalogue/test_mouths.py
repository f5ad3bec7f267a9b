"""How wide the mouth of a port is: computed from its O-ring, against the ports' own standards."""

from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue
from voicefit.catalogue.ends import Basis

# Width of the chamfer at the mouth, mm: d5 of ISO 6149-1 and of ISO 11926-1 (SAE J1926-1). From memory.
WIDTHS = {
    "iso6149/8": 9.1, "iso6149/10": 11.1, "iso6149/12": 13.8, "iso6149/14": 15.8, "iso6149/16": 17.8,
    "iso6149/18": 19.8, "iso6149/20": 21.8, "iso6149/22": 23.8, "iso6149/27": 29.4, "iso6149/33": 35.4,
    "iso6149/42": 44.4,
    "iso6149/48": 50.4, "iso6149/60": 62.4,
    "orb/4": 12.4, "orb/5": 14.0, "orb/6": 15.6, "orb/8": 20.6, "orb/10": 23.9, "orb/12": 29.2, "orb/16": 35.5,
    "orb/20": 43.5, "orb/24": 49.9,
}  # fmt: skip
APART_MM = 0.3  # a ring is pressed into its chamfer: the two agree to the standard's tolerance and the ring's


@pytest.mark.parametrize("size", WIDTHS)
def test_a_port_for_an_o_ring_is_as_wide_as_its_standard_has_it(catalogue: Catalogue, size: str) -> None:
    end = catalogue.by_id[f"{size}/port"]
    assert end.mouth_mm == pytest.approx((WIDTHS[size], WIDTHS[size]), abs=APART_MM)
    ring = catalogue.orings[end.o_ring or ""]
    recalled = Basis.MEMORY in (ring.basis, end.origin("o_ring").basis)
    assert end.origin("mouth").basis is (Basis.MEMORY if recalled else Basis.COMPUTED)


def test_any_other_mouth_is_no_wider_than_its_thread_broken_and_that_has_no_source(catalogue: Catalogue) -> None:
    for end in catalogue.ends:
        if end.external is False and end.seal != "base_o_ring":
            assert end.thread is not None and end.mouth_mm is not None
            assert end.mouth_mm[0] == end.thread.major_diameter_mm and end.mouth_mm[1] <= end.mouth_mm[0] + 1
            assert end.origin("mouth").basis is Basis.COMMON_PRACTICE


def test_what_has_no_internal_thread_has_no_mouth(catalogue: Catalogue) -> None:
    assert all(end.mouth_mm is None for end in catalogue.ends if end.external is not False)


@pytest.mark.parametrize(
    ("for_ring", "for_washer"),
    [("iso6149", "metric-port"), ("boss-g", "bspp-port")],
)
def test_every_port_for_an_o_ring_is_wider_than_one_for_a_washer_on_the_same_thread(
    catalogue: Catalogue, for_ring: str, for_washer: str
) -> None:
    both = [
        (end, catalogue.by_id[f"{for_washer}/{end.size}/port"])
        for end in catalogue.ends
        if end.series == for_ring and end.gender == "port" and f"{for_washer}/{end.size}/port" in catalogue.by_id
    ]
    assert len(both) >= 8
    for with_ring, with_washer in both:
        assert with_ring.mouth_mm is not None and with_washer.mouth_mm is not None
        assert with_ring.mouth_mm[0] > with_washer.mouth_mm[1] + 0.25, with_ring.id

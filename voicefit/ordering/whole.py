"""A whole folder of tables checked: the catalogue's, the ordering room's and the matcher's numbers.

Duty: find everything that is wrong in one run. It must not keep what it reads.
"""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.catalogue import load_catalogue
from voicefit.catalogue.faults import Faults
from voicefit.matching import load_model, load_prior
from voicefit.ordering.room import Ordering


def check_tables(data: Mapping[str, str]) -> None:
    """Raise ``BadTable``, or ``BadTables`` with every fault of the texts: file, row, column and reason of each.

    ``data`` : texts of ``data/`` with the user's own tables, by relative path.
    """
    faults = Faults()
    catalogue = load_catalogue(data, faults=faults)
    Ordering.build(catalogue, data, faults)
    faults.check_sources(catalogue.sources)
    with faults.noting():
        load_model(data)
    with faults.noting():
        load_prior(data)
    faults.raise_all()

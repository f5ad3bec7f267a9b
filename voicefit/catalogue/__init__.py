"""The catalogue: tables in, threads, series and candidate ends out (core, no I/O).

How it works. A table is CSV whose columns carry their units and whose rows name their source (``tables``, ``*_rows``).
A thread's row gives only what its standard prints: size, pitch, class; every diameter and limit follows from the
profile by the standard's formula (``threads`` and ``tolerances`` name each: ISO 68-1 and 965-1, ASME B1.1, ISO 228-1,
ISO 7-1, ASME B1.20.1). A series (``series.csv``) has kinds of end (``kinds.csv``: gender, seat, seal) and sizes
(``ends-*.csv``), and each size of each kind is one :class:`CandidateEnd` (``sizes``); flanges, couplers and staples add
ends without a thread. Published torques, turns and pressures are joined to the ends that they hold for (``figures``,
``conditions``). What is wrong is collected, and all of it told at once with file, row and column (``faults``).

Duty: say what there is, exactly and with its source. It must not match, choose or word anything.
"""

from voicefit.catalogue.ends import CandidateEnd, Thread
from voicefit.catalogue.load import Catalogue, load_catalogue
from voicefit.catalogue.rows import Series

__all__ = ["CandidateEnd", "Catalogue", "Series", "Thread", "load_catalogue"]

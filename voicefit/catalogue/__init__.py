"""The catalogue: tables in, threads, series and candidate ends out (core, no I/O)."""

from voicefit.catalogue.ends import CandidateEnd, Series, Thread
from voicefit.catalogue.load import Catalogue, load_catalogue

__all__ = ["CandidateEnd", "Catalogue", "Series", "Thread", "load_catalogue"]

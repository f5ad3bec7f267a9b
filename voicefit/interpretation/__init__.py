"""Interpretation: spoken words to readings, commands and rejections; and the trade's way of saying a value."""

from voicefit.interpretation.language import Language

__all__ = ["Language"]

"""After the identification: what mates, what seals, how tight, what it holds."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue.functions import Does

TABLE: Mapping[str, Does] = {}

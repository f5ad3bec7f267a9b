import pytest

from voicefit.errors import BadInput
from voicefit.recognition import ENGINES, open_recogniser


def test_an_unknown_engine_is_named_with_the_known_ones() -> None:
    with pytest.raises(BadInput, match=f"'ear'; there are {', '.join(ENGINES)}"):
        open_recogniser("ear")

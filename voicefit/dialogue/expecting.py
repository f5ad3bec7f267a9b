"""What the session expects to hear next: priors for hearing, never walls."""

from __future__ import annotations

from typing import TYPE_CHECKING

from voicefit.dialogue.state import Sure, Which
from voicefit.dialogue.understanding import readings_of
from voicefit.quantities import Quantity
from voicefit.records import Context, Meaning, Measurand

if TYPE_CHECKING:
    from voicefit.dialogue.state import State


def context_of(state: State) -> Context:
    """Measurands and values just asked for, whether yes or no answers, the commands that make sense, the unit habit.

    The matcher's own expectations are not among them: it weighs what was heard afterwards, and must not weigh it twice.
    """
    focus = state.focus
    preferred = state.settings.length_unit or None
    if focus.asleep:
        return Context(commands=frozenset({"wake-up"}), preferred_length=preferred)
    if isinstance(focus.question, Sure):
        return _of_choices((focus.question.meaning,), yes_no=True, preferred=preferred)
    if isinstance(focus.question, Which):
        return _of_choices(focus.question.choices, yes_no=False, preferred=preferred)
    check = focus.check
    if check is None:
        return Context(preferred_length=preferred)
    return Context(
        expected=(check.measurand,),
        yes_no=check.yes is not None,
        misfit=check.yes is not None and check.yes.negated,
        preferred_length=preferred,
    )


def _of_choices(choices: tuple[Meaning, ...], *, yes_no: bool, preferred: str | None) -> Context:
    values: dict[Measurand, dict[Quantity | str, float]] = {}
    for choice in choices:
        for reading in readings_of(choice):
            for option in reading.options:
                values.setdefault(option.measurand, {})[option.value] = 1.0
    return Context(
        expected=tuple(values),
        values={measurand: tuple(of_it.items()) for measurand, of_it in values.items()},
        yes_no=yes_no,
        preferred_length=preferred,
    )

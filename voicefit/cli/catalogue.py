"""The command ``catalogue``: list and filter the ends on the terminal, or all of them as one document.

Duty: arguments in, lines or a document out. The ends come from :mod:`voicefit.catalogue`.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import TYPE_CHECKING, TypeVar

import typer

from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, PLAIN_OPTION, errors_as_exit_codes, print_json, say
from voicefit.cli.screen import show_table

if TYPE_CHECKING:
    from voicefit.catalogue import CandidateEnd, Catalogue
    from voicefit.records import Gender, SeatForm

E = TypeVar("E", bound=StrEnum)

SAME_TUBE_MM = 0.06  # 3/8 in is typed as 9.5, 9.53 or 9.525


def register(app: typer.Typer) -> None:
    app.command(epilog="Example: voicefit catalogue --series flare30-g --dash 6")(catalogue)


def catalogue(
    context: typer.Context,
    series: list[str] = typer.Option(
        [], "--series", help="An id such as flare37, or a name as one says it; may be repeated."
    ),
    gender: str | None = typer.Option(None, "--gender", help="male, female, port or stud."),
    dash: int | None = typer.Option(None, "--dash", min=1, help="Nominal size in sixteenths of an inch."),
    tube: float | None = typer.Option(None, "--tube", min=1, help="Outside diameter in mm of a tube that it takes."),
    thread: str | None = typer.Option(None, "--thread", help="A designation, or its beginning: G3/8, M22x1.5."),
    seat: str | None = typer.Option(None, "--seat", help="convex, recessed, flat, shoulder or none."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
) -> None:
    """List the ends that the tool knows."""
    from voicefit.records import Gender, SeatForm

    with errors_as_exit_codes():
        known = catalogue_of(context)
        ends = chosen(
            known.ends,
            series=[each for name in series for each in series_named(context, known, name)],
            gender=None if gender is None else _one_of(Gender, gender, "--gender"),
            dash=dash,
            tube_mm=tube,
            thread=thread,
            seat=None if seat is None else _one_of(SeatForm, seat, "--seat"),
        )
        if json:
            from voicefit.catalogue.public import end_document

            print_json([end_document(end, known.sources).model_dump(mode="json") for end in ends])
        elif ends:
            show_table(("id", *_COLUMNS), ((end.id, *_cells(end)) for end in ends), plain=plain)
        if not ends:
            say("voicefit: no end of the catalogue is like that")
        raise typer.Exit(DONE if ends else NOTHING)


def catalogue_of(context: typer.Context) -> Catalogue:
    """The catalogue with the user's own tables, as the global options say; then all of these are checked."""
    own = context.obj.catalogue if context.obj else None
    if own is not None:
        from voicefit.driver import open_knowledge

        return open_knowledge(own).catalogue
    from voicefit.catalogue import load_catalogue
    from voicefit.resources import read_data

    return load_catalogue(read_data())


def chosen(
    ends: Iterable[CandidateEnd],
    *,
    series: Iterable[str] = (),
    gender: Gender | None = None,
    dash: int | None = None,
    tube_mm: float | None = None,
    thread: str | None = None,
    seat: SeatForm | None = None,
) -> list[CandidateEnd]:
    """The ends that satisfy every condition given, in the catalogue's order."""
    wanted = frozenset(series)
    beginning = None if thread is None else folded(thread)

    def fits(end: CandidateEnd) -> bool:
        if beginning is not None and (end.thread is None or not _begins(end.thread.designation, beginning)):
            return False
        return (
            (not wanted or end.series in wanted)
            and (gender is None or end.gender is gender)
            and (dash is None or end.dash == dash)
            and (tube_mm is None or any(abs(tube - tube_mm) < SAME_TUBE_MM for tube in _tubes(end)))
            and (seat is None or end.seat_form is seat)
        )

    return [end for end in ends if fits(end)]


def _tubes(end: CandidateEnd) -> tuple[float, ...]:
    return () if end.tube_od_mm is None else (end.tube_od_mm, *end.also_tube_od_mm)


def folded(text: str) -> str:
    return text.replace("×", "x").replace(" ", "").replace(",", ".").casefold()


def _begins(designation: str, beginning: str) -> bool:
    """Whether a designation begins so, no number cut in two: M22 begins M22×1.5, G3 does not begin G3/8."""
    plain = folded(designation)
    return plain.startswith(beginning) and (len(plain) == len(beginning) or plain[len(beginning)] not in "0123456789/.")


def series_named(context: typer.Context, known: Catalogue, name: str) -> frozenset[str]:
    """The series of an id, or of a name as it is said: a marking may mean several. Raises ``BadInput`` for neither."""
    from voicefit.driver import open_knowledge
    from voicefit.errors import BadInput
    from voicefit.records import Measurand, Reading

    if name in known.series:
        return frozenset((name,))
    said = {id for id, each in known.series.items() if name.casefold() in (word.casefold() for word in each.words)}
    if said:
        return frozenset(said)
    language = open_knowledge(context.obj.catalogue if context.obj else None).language
    meant = {
        option.value
        for meaning in language.interpret(name)[:1]
        if all(isinstance(item, Reading) for item in meaning.items)
        for item in meaning.items
        if isinstance(item, Reading)
        for option in item.options
        if option.measurand is Measurand.SERIES and isinstance(option.value, str)
    }
    if found := frozenset(meant & known.series.keys()):
        return found
    raise BadInput(f"--series {name}: no such series; there are {', '.join(known.series)}")


def _one_of(kind: type[E], text: str, option: str) -> E:
    from voicefit.errors import BadInput

    try:
        return kind(text)
    except ValueError:
        raise BadInput(f"{option} {text}: give one of {', '.join(kind)}") from None


_COLUMNS = ("Series", "Size", "Gender", "Thread", "Seat", "Seal", "Basis")


def _cells(end: CandidateEnd) -> tuple[str, ...]:
    size = end.nominal if end.dash is None else f"{end.nominal} (dash {end.dash})"
    if end.dash is None and end.tube_od_mm is not None:
        size += " mm tube"
    angle = "" if end.seat_half_angle_deg is None else f" {end.seat_half_angle_deg:g}°"
    return (
        end.name,
        size,
        end.gender.value,
        end.thread.designation if end.thread else "no thread",
        f"{end.seat_form.value}{angle}",
        end.seal.value.replace("_", " "),
        end.basis.value,
    )

"""The commands ``hoses``, ``orings`` and ``flanges``: list and filter what belongs to the ends.

Duty: arguments in, lines or a document out. The tables come from :mod:`voicefit.catalogue`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import typer

from voicefit.cli.catalogue import catalogue_of, folded, series_named
from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, PLAIN_OPTION, errors_as_exit_codes, print_json, say
from voicefit.cli.screen import show_table

if TYPE_CHECKING:
    from pydantic import BaseModel

    from voicefit.catalogue.hoses import Hose
    from voicefit.catalogue.public import FlangeSizeDocument, HoseDocument, ORingDocument

DASH_OPTION = typer.Option(None, "--dash", min=1, help="Nominal size in sixteenths of an inch.")
MOST_NAMES = 24  # of hose types in an error
NEAR_MM = 0.5  # a ring measured with a caliper; used, it is flattened


def register(app: typer.Typer) -> None:
    app.command(epilog="Example: voicefit hoses --type 2SN --dash 8")(hoses)
    app.command(epilog="Example: voicefit orings --inside 18.6 --section 3.5")(orings)
    app.command(epilog="Example: voicefit flanges --dash 8")(flanges)


def hoses(
    context: typer.Context,
    standard: str | None = typer.Option(None, "--standard", help="SAE 100R, EN 853, ISO 18752 ..., or its beginning."),
    type_: str | None = typer.Option(None, "--type", help="R2, 2SN, 4SH, 280 DC ..."),
    dash: int | None = DASH_OPTION,
    pressure: float | None = typer.Option(None, "--pressure", min=0, help="Working pressure in bar, at least."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
) -> None:
    """List hoses: bore, outside diameter, working pressure, bend radius; one row an edition."""
    from voicefit.catalogue.public import HoseDocument

    with errors_as_exit_codes():
        known = catalogue_of(context).hoses
        of_standard = [hose for hose in known if standard is None or _begins(hose.type.standard, standard)]
        of_type = [hose for hose in of_standard if type_ is None or folded(hose.type.name) == folded(type_)]
        _check_types(known, of_standard, of_type, standard, type_)
        rows = [
            HoseDocument.model_validate(hose)
            for hose in of_type
            if (dash is None or hose.dash == dash) and (pressure is None or hose.pressure_bar >= pressure)
        ]
        _print(rows, _HOSE_COLUMNS, map(_hose_cells, rows), json=json, plain=plain, none="no hose is like that")


def orings(
    context: typer.Context,
    size: str | None = typer.Option(None, "--size", help="A size number, 012, or inside × section, 9.3×2.2."),
    inside: float | None = typer.Option(None, "--inside", min=0, help=f"Inside diameter in mm, to {NEAR_MM} mm."),
    section: float | None = typer.Option(None, "--section", min=0, help="Section in mm, to 0.3 mm."),
    series: str | None = typer.Option(None, "--series", help="Only rings of this series of ends."),
    used: bool = typer.Option(False, "--used", help="Only rings that an end of the catalogue takes."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
) -> None:
    """List O-rings: inside diameter, section, and the ends that take them."""
    from voicefit.catalogue.orings import used_on
    from voicefit.catalogue.public import oring_document

    with errors_as_exit_codes():
        known = catalogue_of(context)
        of = None if series is None else series_named(context, known, series)
        users = used_on(known.ends)
        rows = [
            oring_document(ring, users.get(ring.id, ()))
            for ring in known.orings.values()
            if (size is None or folded(ring.id) == folded(size))
            and (inside is None or abs(ring.inside_diameter_mm - inside) <= NEAR_MM)
            and (section is None or abs(ring.section_mm - section) <= 0.3)
            and (of is None or any(user.partition("/")[0] in of for user in users.get(ring.id, ())))
            and (not used or ring.id in users)
        ]
        _print(rows, _ORING_COLUMNS, map(_oring_cells, rows), json=json, plain=plain, none="no O-ring is like that")


def flanges(
    context: typer.Context,
    code: str | None = typer.Option(None, "--code", help="61, 62, square or pump."),
    dash: int | None = DASH_OPTION,
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
) -> None:
    """List four-bolt flanges: head, bolt pattern, bolts, O-ring."""
    from voicefit.catalogue.public import FlangeSizeDocument
    from voicefit.errors import BadInput

    with errors_as_exit_codes():
        known = catalogue_of(context).flanges
        codes = list(dict.fromkeys(flange.code for flange in known))
        if code is not None and code not in codes:
            raise BadInput(f"--code {code}: give one of {', '.join(codes)}")
        rows = [
            FlangeSizeDocument.model_validate(flange)
            for flange in known
            if (code is None or flange.code == code) and (dash is None or flange.dash == dash)
        ]
        _print(rows, _FLANGE_COLUMNS, map(_flange_cells, rows), json=json, plain=plain, none="no flange is like that")


def _check_types(
    known: Iterable[Hose], of_standard: Iterable[Hose], of_type: Iterable[Hose], standard: str | None, type_: str | None
) -> None:
    """Raise ``BadInput`` for a standard or a type that no hose has: it is misspelt, not merely out of stock."""
    from voicefit.errors import BadInput

    if not of_standard:
        standards = dict.fromkeys(hose.type.standard for hose in known)
        raise BadInput(f"--standard {standard}: no such standard; there are {', '.join(standards)}")
    if not of_type:
        names = list(dict.fromkeys(hose.type.name for hose in of_standard))
        listed = ", ".join(names) if len(names) <= MOST_NAMES else f"{', '.join(names[:MOST_NAMES])} ... {names[-1]}"
        raise BadInput(f"--type {type_}: no such type; there are {listed}")


def _begins(text: str, beginning: str) -> bool:
    return folded(text).startswith(folded(beginning))


_HOSE_COLUMNS = ("Type", "Edition", "Dash", "Bore mm", "Outside mm", "Bar", "Bend mm", "°C", "Reinforcement", "Basis")


def _hose_cells(hose: HoseDocument) -> tuple[str, ...]:
    outside = "not known" if hose.outside_diameter_mm is None else f"{hose.outside_diameter_mm:.1f}"
    return (
        f"{hose.standard} {hose.type}",
        hose.edition,
        str(hose.dash),
        f"{hose.bore_mm:.1f}",
        outside,
        f"{hose.pressure_bar:.0f}",
        f"{hose.bend_radius_mm:.0f}",
        "{} to {}".format(*hose.temperature_c),
        hose.reinforcement or "free",
        hose.basis.value,
    )


_ORING_COLUMNS = ("Size", "Standard", "Inside mm", "Section mm", "Used on", "Basis")


def _oring_cells(ring: ORingDocument) -> tuple[str, ...]:
    return (
        ring.id,
        ring.standard,
        f"{ring.inside_diameter_mm:.2f}",
        f"{ring.section_mm:.2f}",
        ", ".join(ring.used_on) or "no end here",
        ring.basis.value,
    )


_FLANGE_COLUMNS = ("Code", "Form", "Dash", "Head mm", "Thickness mm", "Bolts mm", "Bolt", "O-ring", "Basis")


def _flange_cells(flange: FlangeSizeDocument) -> tuple[str, ...]:
    return (
        flange.code,
        flange.form,
        flange.nominal if flange.dash is None else f"{flange.dash} ({flange.nominal})",
        "not known" if flange.head_diameter_mm is None else f"{flange.head_diameter_mm:.2f}",
        "not known" if flange.head_thickness_mm is None else f"{flange.head_thickness_mm:.2f}",
        f"{flange.bolt_long_mm:.2f} × {flange.bolt_short_mm:.2f}",
        " / ".join(bolt for bolt in (flange.bolt_inch, flange.bolt_metric) if bolt) or "not known",
        flange.o_ring or "not known",
        flange.basis.value,
    )


def _print(
    rows: Sequence[BaseModel],
    columns: Sequence[str],
    cells: Iterable[tuple[str, ...]],
    *,
    json: bool,
    plain: bool,
    none: str,
) -> None:
    """One JSON document, a table on a terminal, or a bare line a row; then the exit."""
    if json:
        documents: list[dict[str, Any]] = [row.model_dump(mode="json") for row in rows]
        print_json(documents)
    elif rows:
        show_table(columns, cells, plain=plain)
    if not rows:
        say(f"voicefit: {none}")
    raise typer.Exit(DONE if rows else NOTHING)

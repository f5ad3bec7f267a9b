"""The URL of a database store: checked, and shown without what is secret in it.

Duty: say what is wrong with a URL without repeating it. A password may stand in its place, in the query, or, where the
URL was typed wrong, anywhere: nothing of a URL that is not understood is shown.
"""

from __future__ import annotations

import sqlalchemy as sa
from sqlalchemy.exc import ArgumentError

from voicefit.errors import BadInput

BACKENDS = ("sqlite", "postgresql")
_SHOWN_QUERY = ("host", "port")


def checked(url: str | sa.URL) -> sa.URL:
    """The parsed URL. Raises ``BadInput`` where it is none, or of another kind of database."""
    text = str(url)
    try:
        parsed = sa.make_url(url)
    except ArgumentError:
        raise BadInput(f"{text.partition(':')[0]}…: not a database URL") from None
    except ValueError:  # SQLAlchemy reads the port as a number
        raise BadInput(f"{text.partition(':')[0]}…: the port is not a number") from None
    backend = parsed.get_backend_name()
    if backend not in BACKENDS:
        raise BadInput(f"{backend}: a store is SQLite or PostgreSQL")
    if backend == "postgresql" and "@" in (parsed.database or ""):
        raise BadInput(f"{backend}…: an @ after the first slash: write a / in a user's name or password as %2F")
    return parsed


def shown(url: sa.URL) -> str:
    """What is said of a server: the database and where it is, never who asks nor how they prove it."""
    query = {name: value for name, value in url.query.items() if name in _SHOWN_QUERY}
    return sa.URL.create(
        url.drivername, host=url.host, port=url.port, database=url.database, query=query
    ).render_as_string()


def named(url: str | sa.URL) -> str:
    """What is the same for everybody who means the same store, whatever the password."""
    parsed = checked(url)
    query = {name: value for name, value in parsed.query.items() if "pass" not in name}
    return parsed.set(query=query).render_as_string(hide_password=True)

"""The database as one file, taken while others write, and back: SQLite by its backup call, PostgreSQL by its tools."""

import os
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

from django.db import connection

# Open sessions are keys to the door: they stay out of a backup, and everybody signs in anew after a restore.
LEFT_OUT = "django_session"


class Trouble(Exception):
    """The database cannot be dumped or loaded; the sentence says why and what to do."""


def dump(to):
    """Write the database as it stands at one moment to a new file."""
    if connection.vendor == "sqlite":
        return _copy_sqlite(connection.settings_dict["NAME"], to)
    return _run(
        "pg_dump", "--format=custom", "--no-owner", "--no-privileges", f"--exclude-table-data=*.{LEFT_OUT}",
        f"--file={to}", connection.settings_dict["NAME"],
    )  # fmt: skip


def _copy_sqlite(source, to):
    """All pages in one step under one read mark of the write-ahead log: writers neither wait nor get in between."""
    address = f"{Path(source).absolute().as_uri()}?mode=ro"
    with closing(sqlite3.connect(address, uri=True, timeout=20)) as live, closing(sqlite3.connect(to)) as copy:
        live.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")  # so that it is one file
        copy.execute("PRAGMA secure_delete=ON")
        if copy.execute("SELECT 1 FROM sqlite_master WHERE name = ?", [LEFT_OUT]).fetchone():
            copy.execute(f"DELETE FROM {LEFT_OUT}")
            copy.commit()
    _check_sqlite(to)


def _check_sqlite(path):
    with closing(sqlite3.connect(path)) as copy:
        (said,) = copy.execute("PRAGMA integrity_check").fetchone()
    if said != "ok":
        raise Trouble(f"The database is damaged: {said}.")


def is_empty():
    """Whether a restore would overwrite nothing."""
    if connection.vendor == "sqlite":
        path = Path(connection.settings_dict["NAME"])
        return not path.exists() or path.stat().st_size == 0
    with connection.cursor() as cursor:
        return not connection.introspection.table_names(cursor)


def load(pieces):
    """Load a dump, given in pieces, into an empty database: all of it or nothing."""
    beside = _beside()
    try:
        with open(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            out.writelines(pieces)
            out.flush()
            os.fsync(out.fileno())
        if connection.vendor == "sqlite":
            _check_sqlite(beside)
            os.replace(beside, connection.settings_dict["NAME"])
        else:
            name = connection.settings_dict["NAME"]
            _run("pg_restore", "--no-owner", "--single-transaction", "--exit-on-error", f"--dbname={name}", str(beside))
    finally:
        beside.unlink(missing_ok=True)


def _beside():
    from django.conf import settings

    at = connection.settings_dict["NAME"] if connection.vendor == "sqlite" else settings.VAR / "database"
    return Path(f"{at}.restoring")


def _run(tool, *words):
    at = connection.settings_dict
    said = {
        "PGHOST": at.get("HOST"), "PGPORT": at.get("PORT"), "PGUSER": at.get("USER"), "PGPASSWORD": at.get("PASSWORD"),
        "PGSSLMODE": at.get("OPTIONS", {}).get("sslmode"),
    }  # fmt: skip
    env = os.environ | {name: str(value) for name, value in said.items() if value}
    try:
        subprocess.run([tool, *words], env=env, check=True, capture_output=True, text=True)
    except FileNotFoundError:
        raise Trouble(
            f"{tool} is not here. Install PostgreSQL's client tools (on Debian: postgresql-client), "
            "of the server's version or newer."
        ) from None
    except subprocess.CalledProcessError as error:
        raise Trouble(f"{tool} could not do it: {error.stderr.strip()}") from None

"""Backup and restore of a whole workshop: its database and every kept file."""

import tempfile
from pathlib import Path

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from parts.workshop.files import kept_files

from . import archive, databases
from .archive import DATABASE, FILES, Backup, Damaged
from .databases import Trouble


def back_up(to):
    """Write a backup to a new file while the workshop goes on working; (its path, its Manifest).

    The database is taken first: files are only ever added before the rows that name them, so none can be missing.
    It is read again and checked. Raises Trouble with a sentence; then there is no file.
    """
    to = Path(to)
    if to.is_dir():
        to = to / f"loopwright-{timezone.now():%Y-%m-%d-%H%M%S}.zip"
    if to.exists():
        raise Trouble(f"{to} is there already and is not written over; name another file.")
    migrations = sorted(MigrationRecorder(connection).applied_migrations())
    try:
        with tempfile.TemporaryDirectory(dir=to.parent, prefix=".loopwright-") as near:
            dump = Path(near) / DATABASE
            databases.dump(dump)
            manifest = archive.write(
                to, database=dump, files=kept_files(), opened=default_storage.open, engine=connection.vendor,
                made_at=timezone.now().isoformat(), migrations=migrations,
            )  # fmt: skip
    except (OSError, Damaged) as error:
        raise Trouble(f"The backup could not be written: {error}") from error
    return to, manifest


def restore(source):
    """Put a backup into an empty installation; the Manifest. Everything is checked before anything is written.

    Raises Damaged for what is no whole backup and Trouble where it does not fit here; then nothing is left behind.
    """
    with Backup(source) as backup:
        _check_that_it_fits(backup.manifest)
        backup.check()
        written = []
        try:
            for name in backup.files:
                written.append(name)
                _put_back(backup, name)
            databases.load(backup.pieces(DATABASE))  # last: until then the workshop is not there
        except BaseException as error:
            for name in written:
                default_storage.delete(name)
            if isinstance(error, OSError):
                raise Trouble(f"It could not be written here: {error}") from error
            raise
        return backup.manifest


def _put_back(backup, name):
    with tempfile.TemporaryFile() as held:
        held.writelines(backup.pieces(FILES + name))
        held.seek(0)
        default_storage.save(name, File(held))


def _check_that_it_fits(manifest):
    if manifest.engine != connection.vendor:
        raise Trouble(f"It was made on {manifest.engine}, this installation uses {connection.vendor}.")
    known = set(MigrationLoader(None).disk_migrations)
    newer = sorted(set(map(tuple, manifest.migrations)) - known)
    if newer:
        raise Trouble(f"It was made by a newer Loopwright (it knows {'.'.join(newer[0])}); install that one first.")
    if not databases.is_empty():
        raise Trouble(
            "There is a database here already, and a restore writes nothing over. "
            "Set LOOPWRIGHT_VAR to an empty folder or DATABASE_URL to an empty database."
        )
    if next(kept_files(), None):
        raise Trouble(
            "There are kept files here already, and a restore writes nothing over. "
            "Set LOOPWRIGHT_VAR to an empty folder."
        )

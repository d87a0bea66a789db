"""A backup is one zip file: the database, every kept file, and a manifest with size and SHA-256 of each.

Everybody can open a zip with what every system brings; nothing of ours is needed to get at the documents in it.
"""

import hashlib
import json
import os
import re
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path

FORM = 1
MANIFEST, DATABASE, FILES = "manifest.json", "database", "files/"
PIECE = 1024 * 1024
# No part of a path begins with a point, so none climbs out of the folder; no other sign has a meaning to any system.
SAFE = re.compile(r"files/(?:[A-Za-z0-9_][A-Za-z0-9._-]*/)*[A-Za-z0-9_][A-Za-z0-9._-]*")
# What a damaged zip makes zipfile raise, depending on where the damage lies.
BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, NotImplementedError, RuntimeError, KeyError)


class Damaged(Exception):
    """The file is no whole backup; the sentence says what is wrong with it."""


@dataclass(frozen=True)
class Manifest:
    """engine: sqlite or postgresql. migrations: [[app, name]] the database had. entries: {name: {size, sha256}}."""

    engine: str
    made_at: str
    migrations: list
    entries: dict


def write(path, *, database, files, opened, engine, made_at, migrations):
    """Write a backup to a new file, readable by its owner alone; under its name only once it is read again and whole.

    database: path of the dump. files: paths of kept files. opened: path → binary file, FileNotFoundError when it is
    gone by now. Returns the Manifest; raises OSError or Damaged, and leaves nothing, when it cannot be written.
    """
    unfinished = Path(f"{path}.unfinished")
    entries = {}
    try:
        handle = os.open(unfinished, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w+b") as out:
            with zipfile.ZipFile(out, "w", allowZip64=True) as packed:
                with open(database, "rb") as dump:
                    entries[DATABASE] = _add(packed, DATABASE, dump, zipfile.ZIP_DEFLATED)
                for name in files:
                    try:
                        kept = opened(name)
                    except FileNotFoundError:
                        continue
                    with kept:
                        entries[FILES + name] = _add(packed, FILES + name, kept, zipfile.ZIP_STORED)
                said = {"form": FORM, "engine": engine, "made_at": made_at, "migrations": migrations}
                packed.writestr(MANIFEST, json.dumps(said | {"entries": entries}, indent=1))
            out.flush()
            os.fsync(out.fileno())
        with Backup(unfinished) as written:
            written.check()
        os.rename(unfinished, path)
    finally:
        unfinished.unlink(missing_ok=True)
    return Manifest(engine, made_at, migrations, entries)


def _add(packed, name, source, how):
    said = zipfile.ZipInfo(name)
    said.compress_type, said.external_attr = how, 0o600 << 16
    digest, size = hashlib.sha256(), 0
    with packed.open(said, "w", force_zip64=True) as out:
        while piece := source.read(PIECE):
            digest.update(piece)
            size += len(piece)
            out.write(piece)
    return {"size": size, "sha256": digest.hexdigest()}


class Backup:
    """A backup opened to be read, with its manifest; a context manager. Damaged when it is none."""

    def __init__(self, path):
        try:
            self.packed = zipfile.ZipFile(path)
        except FileNotFoundError:
            raise Damaged(f"There is no file {path}.") from None
        except BROKEN as error:
            raise Damaged(f"{path} is no whole backup: {error}.") from None

    def __enter__(self):
        try:
            self.manifest = self._manifest()
        except Damaged:
            self.packed.close()
            raise
        return self

    def __exit__(self, *_error):
        self.packed.close()

    def _manifest(self):
        try:
            said = json.loads(self.packed.read(MANIFEST))
            form, manifest = said.pop("form"), Manifest(**said)
        except (*BROKEN, TypeError) as error:
            raise Damaged(f"Its manifest cannot be read: {error}.") from None
        if form != FORM:
            raise Damaged(f"It is written in form {form}; this Loopwright reads form {FORM}.")
        names = self.packed.namelist()
        strange = [name for name in names if name not in (MANIFEST, DATABASE) and not SAFE.fullmatch(name)]
        if strange:
            raise Damaged(f"It holds a file with a path that no backup has: {strange[0]!r}.")
        if len(names) != len(set(names)) or set(names) != {MANIFEST, *manifest.entries} or DATABASE not in names:
            raise Damaged("Its files are not those that its manifest lists.")
        return manifest

    @property
    def files(self):
        """Names of the kept files in it, without the folder they lie in."""
        return [name.removeprefix(FILES) for name in self.manifest.entries if name.startswith(FILES)]

    def check(self):
        """Read all of it; Damaged, with a name, at the first entry that is not what the manifest says."""
        for name in self.manifest.entries:
            for _piece in self.pieces(name):
                pass

    def pieces(self, name):
        """An entry's bytes in pieces; Damaged at its end when they are not what the manifest says."""
        said, digest, size = self.manifest.entries[name], hashlib.sha256(), 0
        try:
            with self.packed.open(name) as source:
                while size <= said["size"] and (piece := source.read(PIECE)):
                    digest.update(piece)
                    size += len(piece)
                    yield piece
        except BROKEN as error:
            raise Damaged(f"{name} in it is damaged: {error}.") from None
        if (size, digest.hexdigest()) != (said["size"], said["sha256"]):
            raise Damaged(f"{name} in it is damaged: its SHA-256 is not the one written down.")

"""Files that are kept for good: documents, photos, logos. Each lies under a hash of its bytes, whole or not at all."""

import errno
import os
import tempfile
from pathlib import Path

from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, default_storage
from django.utils.translation import gettext as _

from .refusal import Refused

UNFINISHED = ".unfinished-"


class WholeFiles(FileSystemStorage):
    """Files in a folder, each written beside its place, flushed to the disk and only then given its name.

    Power that fails or a process that is killed in the middle leaves no half file under a name that a row trusts.
    """

    def get_available_name(self, name, max_length=None):
        """The name as it is: it comes from the content, so what lies there already is the same."""
        return name

    def _save(self, name, content):
        place = Path(self.path(name))
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(prefix=UNFINISHED, dir=place.parent)
        try:
            with os.fdopen(handle, "wb") as out:
                for chunk in content.chunks():
                    out.write(chunk)
                out.flush()
                os.fsync(out.fileno())
            os.replace(beside, place)
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise
        return name.replace("\\", "/")


def keep_file(path, data):
    """Store bytes under a path that their hash names; nothing to do where they lie already.

    Raises Refused with a plain sentence when the disk is full or may not be written. Call it inside the transaction
    that writes the row which names the file, so that a refusal undoes what was done before it.
    """
    try:
        if not default_storage.exists(path):
            default_storage.save(path, ContentFile(data))
    except OSError as error:
        raise Refused(_why(error)) from error


def _why(error):
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return _("The disk is full, so nothing was stored and nothing was half-done. Make room, then send it again.")
    return _(
        "The files folder cannot be written, so nothing was stored and nothing was half-done. "
        "Let whoever keeps this tool running look at it, then send it again."
    )


def kept_files(folder=""):
    """Paths of all files that are kept, in a steady order; what was never finished is no file."""
    try:
        folders, names = default_storage.listdir(folder)
    except FileNotFoundError:
        return
    for name in sorted(names):
        if not name.startswith(UNFINISHED):
            yield f"{folder}/{name}" if folder else name
    for inner in sorted(folders):
        yield from kept_files(f"{folder}/{inner}" if folder else inner)

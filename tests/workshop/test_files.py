"""Kept files are whole or not there."""

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.files.storage import default_storage

from parts.workshop.files import keep_file, kept_files
from parts.workshop.refusal import Refused

HOUSE = Path(__file__).resolve().parent.parent.parent


@pytest.fixture
def folder(settings):
    return Path(settings.STORAGES["default"]["OPTIONS"]["location"])


def test_a_file_is_kept_once_under_its_path():
    for _again in range(2):
        keep_file("documents/ab/abc.pdf", b"%PDF sheet")
    keep_file("photos/cd/cde.jpg", b"picture")
    assert list(kept_files()) == ["documents/ab/abc.pdf", "photos/cd/cde.jpg"]
    with default_storage.open("documents/ab/abc.pdf") as stored:
        assert stored.read() == b"%PDF sheet"


def test_nothing_is_kept_of_a_file_that_the_disk_has_no_room_for(monkeypatch, folder):
    def full(handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(Refused, match=r"disk is full, so nothing was stored.*Make room"):
            keep_file("documents/ab/abc.pdf", b"%PDF sheet")
    assert not [path for path in folder.rglob("*") if path.is_file()]
    keep_file("documents/ab/abc.pdf", b"%PDF sheet")
    assert list(kept_files()) == ["documents/ab/abc.pdf"]


def test_a_folder_that_cannot_be_written_is_told_plainly(folder):
    folder.parent.mkdir(exist_ok=True)
    folder.write_text("a file where the folder should be")
    with pytest.raises(Refused, match="files folder cannot be written"):
        keep_file("documents/ab/abc.pdf", b"%PDF sheet")


def test_a_process_killed_while_it_writes_leaves_no_half_file(folder):
    """SIGKILL after the bytes are written and before they have their name; then the same file is kept whole."""
    dying = f"""
import os, signal, django
django.setup()
from parts.workshop.files import WholeFiles, ContentFile
os.fsync = lambda handle: os.kill(os.getpid(), signal.SIGKILL)
WholeFiles(location={str(folder)!r}).save("documents/ab/abc.pdf", ContentFile(b"%PDF sheet"))
"""
    env = os.environ | {"DJANGO_SETTINGS_MODULE": "builds.settings"}
    died = subprocess.run([sys.executable, "-c", dying], cwd=HOUSE, env=env, capture_output=True)
    assert died.returncode == -signal.SIGKILL, died.stderr
    assert [path for path in folder.rglob("*") if path.is_file()], "it had begun"
    assert list(kept_files()) == []
    keep_file("documents/ab/abc.pdf", b"%PDF sheet")
    with default_storage.open("documents/ab/abc.pdf") as stored:
        assert stored.read() == b"%PDF sheet"

"""A backup taken while people work comes back whole elsewhere, and nothing but a whole one comes back."""

import threading
import time
from decimal import Decimal as D

import pytest
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import connection, transaction

from builds.management.keeping import databases
from builds.sheets.models import Document
from parts.shelf.models import Place, Stock, Tray
from parts.workshop.files import keep_file, kept_files
from parts.workshop.models import AuditEntry
from tests.factories import PartFactory, PersonFactory

from .elsewhere import Elsewhere
from .test_archive import with_manifest

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def elsewhere(tmp_path):
    """An empty installation."""
    place = Elsewhere(tmp_path / "elsewhere")
    yield place
    place.close()


def bytes_of(name):
    with default_storage.open(name) as stored:
        return stored.read()


def test_it_comes_back_in_an_empty_installation_byte_for_byte(kept, owner_client, tmp_path, elsewhere):
    """Signed in is nobody there: an open session is a key, and keys stay out of a backup."""
    backup = tmp_path / "all.zip"
    call_command("backup", backup, verbosity=0)
    assert owner_client.session.session_key.encode() not in backup.read_bytes()
    done = elsewhere.manage("restore", backup)
    assert (done.returncode, done.stderr) == (0, "")
    assert elsewhere.files == {name: bytes_of(name) for name in kept_files()}
    assert kept["issue"].document.read() == elsewhere.files[kept["issue"].document.path]
    assert len(elsewhere.files) == Document.objects.count() + 2 == 4, "a quote, a bill, a photo in two sizes"
    said = elsewhere.manage("verify")
    assert said.returncode == 0, said.stdout
    rows = (
        "from django.contrib.sessions.models import Session; from parts.models import *; "
        "print(Session.objects.count(), AuditEntry.objects.count(), Person.objects.get())"
    )
    assert elsewhere.ask(rows) == f"0 {AuditEntry.objects.count()} wright"
    before = elsewhere.files
    again = elsewhere.manage("restore", backup)
    assert again.returncode == 1
    assert "There is a database here already" in again.stderr
    assert elsewhere.files == before


def test_a_damaged_backup_leaves_nothing_behind(tmp_path, elsewhere):
    backup = tmp_path / "all.zip"
    keep_file("documents/ab/ab12.pdf", b"%PDF" * 9000)
    call_command("backup", backup, verbosity=0)
    data = bytearray(backup.read_bytes())
    at = data.index(b"%PDF")
    data[at : at + 4] = b"%pdf"
    backup.write_bytes(data)
    done = elsewhere.manage("restore", backup)
    assert done.returncode == 1
    assert "ab12.pdf in it is damaged" in done.stderr
    assert "Nothing was restored." in done.stderr
    assert elsewhere.files == {}
    assert not (elsewhere.folder / "loopwright.sqlite3").exists()


def test_files_that_lie_there_without_a_database_are_not_written_over_either(tmp_path, monkeypatch):
    keep_file("documents/lost.pdf", b"the only copy")
    call_command("backup", tmp_path / "all.zip", verbosity=0)
    monkeypatch.setattr(databases, "is_empty", lambda: True)
    with pytest.raises(CommandError, match="kept files here already"):
        call_command("restore", tmp_path / "all.zip")


@pytest.mark.parametrize(("said", "why"), [
    ({"engine": "oracle"}, "made on oracle, this installation uses"),
    ({"migrations": [["builds", "9999_tomorrow"]]}, "made by a newer Loopwright"),
])  # fmt: skip
def test_a_backup_that_does_not_fit_here_is_refused(tmp_path, said, why):
    call_command("backup", tmp_path / "all.zip", verbosity=0)
    with_manifest(tmp_path / "all.zip", lambda manifest, entries: manifest.update(said))
    with pytest.raises(CommandError, match=why):
        call_command("restore", tmp_path / "all.zip")


def test_a_backup_writes_over_nothing_and_names_itself_in_a_folder(tmp_path):
    call_command("backup", tmp_path, verbosity=0)
    (made,) = tmp_path.glob("loopwright-*.zip")
    before = made.read_bytes()
    with pytest.raises(CommandError, match="is there already and is not written over"):
        call_command("backup", made)
    assert made.read_bytes() == before
    with pytest.raises(CommandError, match="could not be written"):
        call_command("backup", tmp_path / "no such folder" / "all.zip")


def test_it_is_of_one_moment_while_others_write(tmp_path, elsewhere):
    """Pieces go to and fro between two trays, each carry one transaction: in any backup there are ten in all."""
    hand, part = PersonFactory(), PartFactory()
    trays = [Tray.free_shelf(), Tray.objects.create(name="J-0001")]
    Stock.put_in(part=part, tray=trays[0], place=Place.named("bench"), quantity=D(10), reason="came", by=hand)
    stop, carried = threading.Event(), []

    def carry():
        try:
            while not stop.is_set():
                for here, there in (trays, trays[::-1]):
                    row = Stock.objects.get(part=part, tray=here)
                    row.move(quantity=D(4), by=hand, reason="to and fro", tray=there)
                    carried.append(here)
        finally:
            connection.close()

    thread = threading.Thread(target=carry)
    thread.start()
    begun = time.monotonic()
    try:
        while len(carried) < 3 and time.monotonic() < begun + 30:
            time.sleep(0.01)
        call_command("backup", tmp_path / "all.zip", verbosity=0)
    finally:
        stop.set()
        thread.join()
    assert len(carried) >= 3
    assert elsewhere.manage("restore", tmp_path / "all.zip").returncode == 0
    said = elsewhere.manage("verify")
    assert said.returncode == 0, said.stdout
    rows = "from parts.models import *; print(sum(Stock.objects.values_list('quantity', flat=True)))"
    assert elsewhere.ask(rows) == "10.000"


def test_what_is_not_yet_committed_is_not_in_it(tmp_path, elsewhere):
    """And the backup waits for nobody who writes."""
    PersonFactory(username="committed")
    with transaction.atomic():
        PersonFactory(username="half-done")
        call_command("backup", tmp_path / "all.zip", verbosity=0)
    elsewhere.manage("restore", tmp_path / "all.zip")
    names = "from parts.models import Person; print(*Person.objects.values_list('username', flat=True))"
    assert elsewhere.ask(names) == "committed"


def test_a_missing_tool_is_named(monkeypatch):
    def absent(*_args, **_more):
        raise FileNotFoundError

    monkeypatch.setattr(databases.subprocess, "run", absent)
    with pytest.raises(databases.Trouble, match=r"pg_dump is not here\. Install PostgreSQL's client tools"):
        databases._run("pg_dump")

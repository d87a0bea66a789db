"""Only a whole backup with honest paths is read; every other file is refused before anything of it is used."""

import json
import zipfile

import pytest

from builds.management.keeping import archive
from builds.management.keeping.archive import Backup, Damaged

KEPT = {"documents/ab/ab12.pdf": b"%PDF a quote" * 400, "photos/cd/cd34.jpg": b"a photo" * 300}


@pytest.fixture
def packed(tmp_path):
    """A backup of an invented dump and two files."""
    dump = tmp_path / "dump"
    dump.write_bytes(b"rows and rows" * 500)
    for name, data in KEPT.items():
        (tmp_path / name).parent.mkdir(parents=True)
        (tmp_path / name).write_bytes(data)
    archive.write(
        tmp_path / "all.zip", database=dump, files=[*KEPT, "gone.pdf"], engine="sqlite",
        opened=lambda name: (tmp_path / name).open("rb"),
        made_at="2026-03-01T02:00:00+00:00", migrations=[("builds", "0001_initial")],
    )  # fmt: skip
    return tmp_path / "all.zip"


def read(path):
    """{name: bytes} of all that a backup holds."""
    with Backup(path) as backup:
        return {name: b"".join(backup.pieces(name)) for name in backup.manifest.entries}


def rewritten(path, change):
    """The backup with {name: bytes} of it changed by `change`."""
    with zipfile.ZipFile(path) as old:
        entries = {name: old.read(name) for name in old.namelist()}
    change(entries)
    with zipfile.ZipFile(path, "w") as new:
        for name, data in entries.items():
            new.writestr(name, data)
    return path


def with_manifest(path, change):
    def changed(entries):
        manifest = json.loads(entries["manifest.json"])
        change(manifest, entries)
        entries["manifest.json"] = json.dumps(manifest).encode()

    return rewritten(path, changed)


def test_what_goes_in_comes_out(packed):
    assert read(packed) == {"database": b"rows and rows" * 500} | {f"files/{n}": data for n, data in KEPT.items()}
    assert packed.stat().st_mode & 0o077 == 0, "it holds clients' addresses: for its owner alone"
    with zipfile.ZipFile(packed) as plain:
        assert plain.testzip() is None, "any zip tool opens it"


def test_damage_anywhere_is_noticed(packed):
    """A byte turned round at each of 60 places: what is read all the same is what was written."""
    whole, data = read(packed), packed.read_bytes()
    noticed = 0
    for turn in range(60):
        spoilt, at = bytearray(data), len(data) * turn // 60
        spoilt[at] ^= 0xFF
        packed.write_bytes(spoilt)
        try:
            assert read(packed) == whole, at
        except Damaged:
            noticed += 1
    assert noticed > 50


@pytest.mark.parametrize("left", [0, 10, 1000, -1, -30, -2000])
def test_a_file_cut_short_is_refused(packed, left):
    packed.write_bytes(packed.read_bytes()[:left])
    with pytest.raises(Damaged, match="no whole backup"):
        read(packed)


def test_a_document_exchanged_for_another_is_refused(packed):
    """Its zip checksum is right: only the manifest's SHA-256 tells."""
    name = "files/documents/ab/ab12.pdf"
    rewritten(packed, lambda entries: entries.update({name: entries[name].replace(b"%PDF", b"%pdf")}))
    with pytest.raises(Damaged, match=rf"{name} in it is damaged: its SHA-256"):
        read(packed)


@pytest.mark.parametrize("path", [
    "files/../../climbed", "../climbed", "/climbed", "files//climbed", "files/.hidden", "files/a\\..\\b",
    "c:climbed",
])  # fmt: skip
def test_a_path_that_leads_out_of_the_folder_is_refused(packed, path):
    def smuggle(manifest, entries):
        manifest["entries"][path] = dict(manifest["entries"]["database"])
        entries[path] = entries["database"]

    with pytest.raises(Damaged, match="a path that no backup has"):
        read(with_manifest(packed, smuggle))


def test_files_and_manifest_name_the_same(packed):
    rewritten(packed, lambda entries: entries.update({"files/documents/more.pdf": b"%PDF"}))
    with pytest.raises(Damaged, match="not those that its manifest lists"):
        read(packed)


@pytest.mark.parametrize(("said", "why"), [({"form": 2}, "written in form 2"), ({"colour": "red"}, "colour")])
def test_another_form_of_manifest_is_refused(packed, said, why):
    with_manifest(packed, lambda manifest, entries: manifest.update(said))
    with pytest.raises(Damaged, match=why):
        read(packed)


def test_a_zip_of_something_else_is_refused(tmp_path):
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as other:
        other.writestr("letter.txt", "hello")
    with pytest.raises(Damaged, match="manifest cannot be read"):
        read(tmp_path / "other.zip")
    with pytest.raises(Damaged, match="There is no file"):
        read(tmp_path / "nothing.zip")


def test_a_backup_that_cannot_be_finished_leaves_nothing(tmp_path):
    (tmp_path / "dump").write_bytes(b"rows")

    def fail(name):
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space left"):
        archive.write(tmp_path / "all.zip", database=tmp_path / "dump", files=["a.pdf"], opened=fail, engine="sqlite",
                      made_at="", migrations=[])  # fmt: skip
    assert [path.name for path in tmp_path.iterdir()] == ["dump"]

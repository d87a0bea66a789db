"""The journal: text and photos of a build, private until shared, published only with consent."""

import io
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from builds.clientpage.models import Link
from builds.journal.models import EntryPhoto, JournalEntry
from builds.labour.models import HoursEntry
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.counting import queries
from tests.factories import JobFactory, TaskFactory, once

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _storage(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def job():
    return JobFactory(stage="bench")


def sheet(job):
    return reverse("journal:sheet", args=[job.number])


def picture(form="JPEG", size=(60, 40), **kept):
    held = io.BytesIO()
    Image.new("RGB", size, (200, 30, 30)).save(held, form, **kept)
    return held.getvalue()


def write(client, job, text="Cut the top panel", photo=None, **more):
    data = {"text": text, "on": timezone.localdate().isoformat(), **more}
    if photo is not None:
        data["photo"] = SimpleUploadedFile("bench.jpg", photo, content_type="image/jpeg")
    return client.post(sheet(job), once(**data))


def entry_of(job, person, text="Cut the top panel"):
    return JournalEntry.write(job=job, by=person, on=timezone.localdate(), text=text)


def test_a_helper_writes_a_line_with_a_photo_by_task(helper_client, helper, job):
    task = TaskFactory(job=job, name="Case work")
    assert write(helper_client, job, task=task.pk, photo=picture()).status_code == 302
    entry = JournalEntry.objects.get()
    assert (entry.task, entry.person, entry.stage, entry.photos.count()) == (task, helper, "bench", 1)
    page = helper_client.get(sheet(job)).content.decode()
    assert "Case work" in page
    assert "for the workshop alone" in page
    assert reverse("workshop:photo_small", args=[entry.photos.get().photo_id]) in page


def test_a_photo_keeps_neither_place_nor_camera(helper_client, job):
    exif = Image.Exif()
    exif[0x010F] = "a maker of cameras"
    exif.get_ifd(0x8825)[1] = "N"
    write(helper_client, job, photo=picture(exif=exif))
    kept = Image.open(io.BytesIO(EntryPhoto.objects.get().photo.read()))
    assert not kept.getexif()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"MZ\x90\x00 a programme by another name" * 40, "no photo that can be read"),
        (picture()[:300], "no photo that can be read"),
        (picture("PNG", (20_000, 10_000)), "million pixels"),
    ],
    ids=["a renamed programme", "cut short", "200 megapixels"],
)
def test_files_that_are_no_photos_are_refused_and_the_text_stays(helper_client, job, data, says):
    answer = write(helper_client, job, photo=data)
    page = answer.content.decode()
    assert says in page
    assert "Cut the top panel" in page
    assert not JournalEntry.objects.exists()


def test_several_photos_come_at_once_and_a_bad_one_is_named(helper_client, job):
    def files(*contents):
        return [SimpleUploadedFile(f"bench-{n}.jpg", data) for n, data in enumerate(contents)]

    data = {"text": "", "on": timezone.localdate().isoformat()}
    page = helper_client.post(sheet(job), once(**data, photo=files(picture(), b"MZ no photo"))).content.decode()
    assert "bench-1.jpg: " in page
    assert "no photo that can be read" in page
    assert not JournalEntry.objects.exists(), "all or none"
    too_many = helper_client.post(sheet(job), once(**data, photo=files(*[picture()] * 13))).content.decode()
    assert "13 photos at once; send at most 12" in too_many
    helper_client.post(sheet(job), once(**data, photo=files(picture(), picture("PNG"), picture(size=(80, 20)))))
    assert JournalEntry.objects.get().photos.count() == 3


def test_the_task_at_hand_is_chosen_already(helper_client, helper, job):
    task = TaskFactory(job=job, name="Case work")
    HoursEntry.start(task, helper)
    assert f'<option value="{task.pk}" selected>' in helper_client.get(sheet(job)).content.decode()
    assert "selected>" not in helper_client.get(sheet(JobFactory(stage="bench"))).content.decode().split("Day")[0]


def test_an_animated_picture_becomes_its_first_still(helper_client, job):
    held = io.BytesIO()
    frames = [Image.new("RGB", (40, 40), colour) for colour in ("red", "blue")]
    frames[0].save(held, "WEBP", save_all=True, append_images=frames[1:], lossless=True)
    write(helper_client, job, photo=held.getvalue())
    kept = Image.open(io.BytesIO(EntryPhoto.objects.get().photo.read()))
    assert getattr(kept, "n_frames", 1) == 1
    red, _green, blue = kept.getpixel((20, 20))
    assert red > 200 > 60 > blue


def test_neither_text_nor_photo_is_refused(helper_client, job):
    assert "add a photo" in write(helper_client, job, text=" ").content.decode()
    assert not JournalEntry.objects.exists()


def test_a_day_to_come_and_another_jobs_task_are_refused(helper, job):
    tomorrow = timezone.localdate() + timedelta(days=1)
    with pytest.raises(Refused, match="has not come yet"):
        JournalEntry.write(job=job, by=helper, on=tomorrow, text="soon")
    with pytest.raises(Refused, match="own job"):
        JournalEntry.write(job=job, by=helper, on=timezone.localdate(), text="x", task=TaskFactory())


def test_a_correction_leaves_what_stood_there(helper_client, helper, job):
    entry = entry_of(job, helper)
    data = {"text": "Cut the side panel", "on": "2026-03-02", "task": "", "version": entry.version}
    helper_client.post(reverse("journal:edit", args=[entry.pk]), once(**data))
    entry.refresh_from_db()
    assert entry.text == "Cut the side panel"
    assert AuditEntry.of(entry.about).last().before["text"] == "Cut the top panel"


def test_the_client_sees_what_is_shared_and_nothing_else(owner_client, owner, client, job, helper):
    shown, hidden = entry_of(job, helper, "The pump sits"), entry_of(job, helper, "Slipped with the file")
    write(owner_client, job, text="Secret photo", photo=picture())
    private = EntryPhoto.objects.get()
    owner_client.post(reverse("journal:share", args=[shown.pk]), once())
    _link, token = Link.make(job, owner)
    page = client.get(reverse("clientpage:page", args=[token])).content.decode()
    assert "The pump sits" in page
    assert hidden.text not in page
    assert "Secret photo" not in page
    assert client.get(reverse("clientpage:photo", args=[token, private.pk])).status_code == 404
    private.entry.share(owner)
    photo = client.get(reverse("clientpage:photo", args=[token, private.pk]))
    assert (photo.status_code, photo["Content-Type"]) == (200, "image/jpeg")
    owner_client.post(reverse("journal:take_back", args=[shown.pk]), once())
    assert "The pump sits" not in client.get(reverse("clientpage:page", args=[token])).content.decode()


def test_consent_to_publish_is_dated_and_needs_sharing_first(owner_client, owner, job):
    entry = entry_of(job, owner)
    with pytest.raises(Refused, match="Share it with the client first"):
        entry.consent(by=owner, on=timezone.localdate(), name="M. Finch")
    entry.share(owner)
    address = reverse("journal:consent", args=[entry.pk])
    today = timezone.localdate().isoformat()
    owner_client.post(address, once(name="M. Finch", on=today, version=entry.version))
    entry.refresh_from_db()
    assert (entry.consent_by, entry.consent_on) == ("M. Finch", timezone.localdate())
    assert "may be published: M. Finch" in owner_client.get(sheet(job)).content.decode()
    entry.take_back(owner)
    assert (entry.consent_on, entry.consent_by) == (None, "")


def test_sharing_and_consent_are_the_owners(helper_client, helper, job):
    entry = entry_of(job, helper)
    for name in ("journal:share", "journal:take_back", "journal:consent"):
        assert helper_client.post(reverse(name, args=[entry.pk]), once()).status_code == 403


def test_queries_do_not_grow_with_entries(helper_client, helper, job):
    entry_of(job, helper)
    helper_client.get(sheet(job))
    few = queries(lambda: helper_client.get(sheet(job)))
    for n in range(12):
        entry_of(job, helper, f"line {n}")
    helper_client.get(sheet(job))
    assert queries(lambda: helper_client.get(sheet(job))) == few

"""The photo a part is known by: cleaned, small beside its name, large at a press."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from parts.catalogue.models import Part
from parts.workshop.models import AuditEntry
from parts.workshop.photos import MOST_BYTES, Photo
from tests.factories import PartFactory, once
from tests.specs.rows import machine, queries


def taken(form="JPEG", size=(600, 400), place=None):
    """A picture as a phone sends it, with the place it was taken at in its own data."""
    picture, exif, held = Image.new("RGB", size, (30, 90, 80)), Image.Exif(), io.BytesIO()
    if place:
        exif.get_ifd(0x8825)[1] = place  # the block of GPS tags; 1 is the hemisphere
        exif[0x010F] = "Lantern Works phone"
    picture.save(held, form, exif=exif)
    return held.getvalue()


def address(part):
    return reverse("catalogue:photo", args=[part.pk])


def send(client, part, data=None, **more):
    if data is not None:
        more["photo"] = SimpleUploadedFile("part.jpg", data, content_type="image/jpeg")
    return client.post(address(part), once(version=Part.objects.get(pk=part.pk).version, **more))


@pytest.fixture
def radiator(db):
    return PartFactory(kind="radiator", name="Radiator 3×120", facts={"thickness": 30.0})


def shown(part):
    part.refresh_from_db()
    return reverse("workshop:photo_small", args=[part.photo_id])


def test_a_part_gets_a_photo_that_its_page_and_the_list_show(helper_client, radiator):
    assert send(helper_client, radiator, taken()).url == reverse("catalogue:part", args=[radiator.pk])
    small = shown(radiator)
    for page in (reverse("catalogue:part", args=[radiator.pk]), reverse("catalogue:list"), address(radiator)):
        assert small in helper_client.get(page).content.decode(), page
    assert helper_client.get(small)["Content-Type"] == "image/jpeg"
    entry = AuditEntry.objects.get(verb="pictured")
    assert (entry.about, entry.after) == (f"part {radiator.pk}", {"photo": radiator.photo_id})


def test_it_stands_small_on_the_spec_and_among_what_fits(owner_client, db):
    spec = machine()
    line = spec.lines.get(role__name="front radiator")
    send(owner_client, line.part, taken())
    small = shown(line.part)
    spec_page = reverse("specs:spec", args=[spec.job.number])
    role_page = reverse("specs:role", args=[spec.job.number, line.role_id])
    for page in (spec_page, role_page):
        assert small in owner_client.get(page).content.decode(), page


def test_where_and_with_what_it_was_taken_is_not_kept(owner_client, radiator):
    data = taken(place="N")
    assert b"Lantern Works phone" in data
    send(owner_client, radiator, data)
    kept = Photo.objects.get().read()
    assert b"Lantern Works" not in kept
    with Image.open(io.BytesIO(kept)) as picture:
        assert dict(picture.getexif()) == {}
        assert picture.getexif().get_ifd(0x8825) == {}


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"no picture at all", "no photo that can be read"),
        (taken()[:900], "no photo that can be read"),
        (b"\xff\xd8\xff" + b"\0" * MOST_BYTES, "larger than 15 MB"),
        (None, "Take or choose a photo"),
    ],
)
def test_what_is_no_photo_is_told_and_the_part_keeps_its_own(owner_client, radiator, data, said):
    send(owner_client, radiator, taken())
    radiator.refresh_from_db()
    answer = send(owner_client, radiator, data)
    assert said in answer.content.decode()
    assert Part.objects.get().photo_id == radiator.photo_id


def test_more_pixels_than_any_phone_takes_are_refused(owner_client, radiator):
    answer = send(owner_client, radiator, taken("PNG", size=(8000, 8000)))
    assert "60 million pixels" in answer.content.decode()
    assert Part.objects.get().photo_id is None


def test_it_is_changed_and_taken_away(owner_client, radiator):
    send(owner_client, radiator, taken())
    first = shown(radiator)
    send(owner_client, radiator, taken(size=(300, 500)))
    assert shown(radiator) != first
    send(owner_client, radiator, away="on")
    radiator.refresh_from_db()
    assert radiator.photo_id is None


def test_sent_twice_it_is_stored_once(owner_client, radiator):
    sent = once(version=radiator.version)
    for _ in range(2):
        sent["photo"] = SimpleUploadedFile("part.jpg", taken())
        owner_client.post(address(radiator), sent)
    assert Photo.objects.count() == 1


def test_the_slower_of_two_is_told(owner_client, radiator):
    late = once(version=radiator.version)
    send(owner_client, radiator, taken())
    radiator.refresh_from_db()
    answer = owner_client.post(address(radiator), {**late, "photo": SimpleUploadedFile("b.jpg", taken(size=(9, 9)))})
    page = answer.content.decode()
    assert "Somebody changed this" in page
    assert shown(radiator) in page


def test_a_part_that_is_gone(owner_client, db):
    assert owner_client.get(reverse("catalogue:photo", args=[999])).status_code == 404


def test_photos_ask_no_more_queries_of_the_list(owner_client, db):
    for n in range(2):
        PartFactory(kind="fan", name=f"Fan {n}")
    few = queries(owner_client, reverse("catalogue:list"))
    for part in Part.objects.all():
        send(owner_client, part, taken())
    assert queries(owner_client, reverse("catalogue:list")) == few

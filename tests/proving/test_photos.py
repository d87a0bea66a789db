"""Photos with a test: of the gauge, of the drop found; on the page, on the test record, in the hand-over pack."""

import io

import pikepdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from builds.handover.models import Pack
from builds.proving.models import Gate, Trial
from parts.workshop.photos import Photo, clean_photo
from tests.counting import queries
from tests.factories import JobFactory
from tests.handover.machine import built
from tests.workshop.test_photos import busy, located, picture

from .readings import AIR, MACHINE, PLAIN, gate_of, passed, post, recorded

pytestmark = pytest.mark.django_db


def upload(data=None):
    return SimpleUploadedFile("gauge.jpg", data or picture())


@pytest.fixture
def job():
    return JobFactory(stage="bench")


@pytest.fixture
def here(job):
    return reverse("proving:gate", args=[job.number, "air"])


def pictures_in(pdf):
    """The pixel images of a PDF, each once, however many pages name it."""
    with pikepdf.open(io.BytesIO(pdf)) as read:
        return {image.objgen for page in read.pages for image in page.get_images().values()}


def test_a_photo_of_the_gauge_comes_in_with_the_readings(helper_client, job, here):
    assert post(helper_client, here, **AIR, photo=upload()).status_code == 302
    photo = Trial.objects.get().photos.get()
    assert reverse("workshop:photo_small", args=[photo.pk]) in helper_client.get(here).content.decode()


def test_photos_are_kept_one_after_the_other_while_the_test_runs(helper_client, job, here):
    for turn in range(3):
        version = Gate.objects.filter(job=job, kind="air").values_list("version", flat=True).first() or ""
        post(helper_client, here, keep="1", version=version, photo=upload(picture(size=(60 + turn, 40))))
    assert Trial.objects.get().photos.count() == 3
    assert Trial.objects.get().is_running


def test_a_photo_of_the_leak_comes_in_with_the_verdict(helper_client, helper, job):
    recorded(job, "air", helper)
    here = reverse("proving:confirm", args=[job.number, "air"])
    version = Gate.objects.get(job=job, kind="air").version
    answer = post(helper_client, here, verdict="failed", remark="hiss at the upper port", photo=upload(),
                  version=version)  # fmt: skip
    assert answer.status_code == 302
    assert Trial.objects.get().photos.count() == 1


def test_it_forgets_where_it_was_taken(helper_client, job, here):
    post(helper_client, here, **AIR, photo=upload(located()))
    assert not Image.open(io.BytesIO(Photo.objects.get().read())).getexif()


@pytest.mark.parametrize("data", [b"MZ\x90 renamed programme", picture()[:200], b"<svg/>"])
def test_what_is_no_photo_is_refused_and_the_readings_stay_typed(helper_client, job, here, data):
    answer = post(helper_client, here, **AIR, photo=upload(data))
    assert "no photo that can be read" in answer.content.decode()
    assert answer.context["form"]["pressure_2"].value() == AIR["pressure_2"]
    assert not Trial.objects.exists()
    assert not Photo.objects.exists()


def test_the_photo_is_asked_for_again_when_a_reading_is_refused(helper_client, job, here):
    answer = post(helper_client, here, **{**AIR, "pressure_2": "a lot"}, photo=upload())
    assert "choose it again" in answer.content.decode()
    assert not Photo.objects.exists()


def test_the_gates_of_a_job_ask_the_same_whatever_the_photos(helper, job):
    recorded(job, "air", helper)
    before = queries(lambda: Gate.objects.of(job))
    for trial in Trial.objects.all():
        for colour in range(4):
            trial.add_photo(clean_photo(picture(colour=(colour, 0, 0))), helper)
    assert queries(lambda: Gate.objects.of(job)) == before == 4


def test_they_print_on_the_test_record_with_their_words(helper_client, helper, job):
    gate = gate_of(job, "air", helper)
    gate.record(PLAIN["air"], helper, machine=MACHINE, photo=clean_photo(picture(size=(300, 200))))
    pdf = helper_client.get(reverse("proving:record", args=[job.number])).content
    assert len(pictures_in(pdf)) == 1


def test_a_pack_with_ten_photos_stays_below_five_megabytes(owner):
    """The budget of the hand-over pack, with photos that compress badly; its time is in tests/benchmarks."""
    machine = built(owner, ready=False)
    passed(machine, owner)
    trials = list(Trial.objects.all())
    for seed in range(10):
        trials[seed % len(trials)].add_photo(clean_photo(busy(seed)), owner)
    pack = Pack.hand_over(machine, owner, way="collected", received_by="A. Halvorsen", filled=True)
    data = pack.document.read()
    assert len(pictures_in(data)) == 10
    assert len(data) < 5_000_000

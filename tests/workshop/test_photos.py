"""Photos: upright, without what the file carried, and hostile files refused. EXIF orientation: CIPA DC-008 (EXIF 2.3),
table 6: tag 0x0112, 6 = turn by 90 degrees clockwise to show upright (from memory)."""

import io
import random
import struct
import zlib

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from parts.workshop import photos
from parts.workshop.photos import Photo, clean_photo
from parts.workshop.refusal import Refused


def picture(form="JPEG", size=(60, 40), mode="RGB", colour=(200, 30, 30), **kept):
    held = io.BytesIO()
    Image.new(mode, size, colour).save(held, form, **kept)
    return held.getvalue()


def busy(seed, size=(1600, 1200)):
    """A picture full of detail, which a JPEG cannot make small: fine noise on a gradient."""
    noise = Image.frombytes("L", (size[0] // 4, size[1] // 4), random.Random(seed).randbytes(size[0] * size[1] // 16))
    both = Image.blend(noise.resize(size).convert("RGB"), Image.linear_gradient("L").resize(size).convert("RGB"), 0.5)
    held = io.BytesIO()
    both.save(held, "JPEG", quality=90)
    return held.getvalue()


def opened(data):
    return Image.open(io.BytesIO(data))


def located():
    """A picture that lies on its side and says where it was taken."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "a maker of cameras"
    exif.get_ifd(0x8825)[1] = "N"
    return picture(exif=exif)


def test_a_photo_is_turned_upright_and_forgets_where_it_was_taken():
    assert opened(located()).getexif()[0x010F]
    clean = clean_photo(located())
    assert (clean.width, clean.height) == (40, 60)
    for data in (clean.large, clean.small):
        assert opened(data).format == "JPEG"
        assert not opened(data).getexif()
        assert b"maker of cameras" not in data
        assert opened(data).size == (40, 60)


def test_a_large_photo_is_made_smaller_and_has_a_small_one():
    clean = clean_photo(picture(size=(4000, 3000)))
    assert (clean.width, clean.height) == (2000, 1500)
    assert opened(clean.small).size == (320, 240)


@pytest.mark.parametrize(
    "data",
    [
        picture("PNG"), picture("WEBP"), picture("PNG", mode="RGBA", colour=(0, 0, 0, 0)),
        picture("PNG", mode="P", colour=3), picture("PNG", mode="L", colour=9), picture("JPEG", mode="CMYK", colour=0),
    ],
)  # fmt: skip
def test_every_usual_kind_of_picture_comes_through(data):
    assert opened(clean_photo(data).large).mode == "RGB"


def test_what_is_transparent_is_white():
    clean = clean_photo(picture("PNG", mode="RGBA", colour=(0, 0, 0, 0)))
    assert min(opened(clean.large).getpixel((5, 5))) > 250


def test_what_hides_behind_a_picture_stays_behind():
    hidden = b"<script>alert(1)</script>"
    assert hidden not in clean_photo(picture() + hidden).large


def bomb():
    """A PNG of a few bytes whose header claims 40,000 by 40,000 pixels."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 40_000, 40_000, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0" * 99)) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no photo that can be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no photo that can be read"),
        (b"%PDF-1.7", "no photo that can be read"),
        (b"GIF89a" + bytes(40), "no photo that can be read"),
        (picture("GIF", mode="P", colour=1), "send a JPEG, PNG or WebP"),
        (picture("TIFF"), "send a JPEG, PNG or WebP"),
        (picture(size=(900, 900))[:400], "no photo that can be read"),
        (picture("PNG")[:40], "no photo that can be read"),
        (bomb(), "million pixels"),
        (bytes(photos.MOST_BYTES + 1), "larger than 15 MB"),
    ],
)  # fmt: skip
def test_what_is_no_honest_photo_is_refused_with_a_sentence(data, said):
    with pytest.raises(Refused, match=said):
        clean_photo(data)


def test_a_photo_is_kept_under_its_hash_and_served_to_those_who_work_here(client, helper_client, helper):
    photo = Photo.keep(clean_photo(located()), helper)
    assert default_storage.exists(photo.path())
    assert default_storage.exists(photo.path(small=True))
    for name in ("", "small/"):
        answer = helper_client.get(f"/workshop/photos/{photo.pk}/{name}")
        assert answer["Content-Type"] == "image/jpeg"
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert "private" in answer["Cache-Control"]
        assert opened(answer.content).format == "JPEG"
        assert client.get(f"/workshop/photos/{photo.pk}/{name}").status_code == 302
    assert helper_client.get("/workshop/photos/99/").status_code == 404


def test_the_form_field_says_what_is_wrong():
    from django.core.exceptions import ValidationError

    field = photos.PhotoField()
    assert field.clean(None) is None
    with pytest.raises(ValidationError, match="no photo"):
        field.clean(SimpleUploadedFile("fan.jpg", b"<html>"))
    assert field.clean(SimpleUploadedFile("fan.jpg", picture())).width == 60

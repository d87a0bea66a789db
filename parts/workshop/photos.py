"""Photos: cleaned when they come in, stored under their hash, never as they came and never served from a folder."""

import hashlib
import io
import warnings
from base64 import b64encode
from dataclasses import dataclass

from django import forms
from django.core.files.storage import default_storage
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from .files import keep_file
from .models import Person
from .refusal import Refused

MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 60_000_000
FORMATS = ("JPEG", "PNG", "WEBP")
LARGE, SMALL = 2000, 320


@dataclass(frozen=True)
class CleanPhoto:
    """A photo made anew: upright JPEGs without any of the file's own data. width, height: of the large one, pixels."""

    large: bytes
    small: bytes
    width: int
    height: int


def unpacked(data: bytes, edge: int, field: str = "photo"):
    """A file's picture as an upright RGBA image of at most `edge` pixels a side; Refused as clean_photo tells."""
    from PIL import Image, ImageFile, ImageOps

    if len(data) > MOST_BYTES:
        raise Refused(_too_large(), field)
    # The PDF library lets cut-off pictures pass, for the whole process; what is taken in here must be whole.
    lenient, ImageFile.LOAD_TRUNCATED_IMAGES = ImageFile.LOAD_TRUNCATED_IMAGES, False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    raise Image.DecompressionBombError
                opened.draft("RGB", (edge, edge))
                picture = opened.convert("RGBA") if opened.mode in ("1", "P") else opened
                picture.thumbnail((edge, edge))  # before anything else: the rest then works on little
                picture = ImageOps.exif_transpose(picture).convert("RGBA")
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        most = MOST_PIXELS // 1_000_000
        raise Refused(_t("This photo has more than %(most)s million pixels; send a smaller one.") % {"most": most},
                      field) from None  # fmt: skip
    except Exception:  # a decoder meets a hostile file with errors of many kinds; to the sender they are one
        raise Refused(_t("This file is no photo that can be read; send a JPEG, PNG or WebP picture."), field) from None
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = lenient
    return picture


def clean_photo(data: bytes) -> CleanPhoto:
    """Make a photo anew from a file's bytes: decoded, turned upright, made smaller, written as JPEG.

    What a file carries beside its picture (place, camera, time, thumbnails, anything appended) stays behind. Raises
    Refused with a sentence for what is no JPEG, PNG or WebP, is damaged, or is too large in bytes or pixels; the
    pixels are counted from the header, before anything is unpacked.
    """
    from PIL import Image

    picture = unpacked(data, LARGE)
    paper = Image.new("RGBA", picture.size, "white")
    upright = Image.alpha_composite(paper, picture).convert("RGB")
    large, (width, height) = _jpeg(upright, 85), upright.size
    upright.thumbnail((SMALL, SMALL))
    return CleanPhoto(large, _jpeg(upright, 80), width, height)


def _jpeg(picture, quality):
    held = io.BytesIO()
    picture.save(held, "JPEG", quality=quality, optimize=True)
    return held.getvalue()


def _too_large():
    return _t("This file is larger than %(most)s MB; send a smaller photo.") % {"most": MOST_BYTES // 1024**2}


class PhotoQuerySet(models.QuerySet):
    def visible_to(self, person):
        """Everybody who works here sees every photo; what a client sees goes through his own pages."""
        return self if person.is_authenticated else self.none()


class Photo(models.Model):
    """A cleaned photo: the large and the small picture lie in storage under the large one's hash. Never changed."""

    sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    at = models.DateTimeField(default=timezone.now)
    person = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")

    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self):
        return f"{self.at:%Y-%m-%d %H:%M}"

    @classmethod
    def keep(cls, clean, by):
        """Store a CleanPhoto, files first: a row never points to a missing file."""
        photo = cls(
            sha256=hashlib.sha256(clean.large).hexdigest(), width=clean.width, height=clean.height,
            person=by if getattr(by, "pk", None) else None,
        )  # fmt: skip
        for small, data in ((False, clean.large), (True, clean.small)):
            keep_file(photo.path(small), data)
        photo.save()
        return photo

    def path(self, small=False):
        return f"photos/{self.sha256[:2]}/{self.sha256}{'-small' if small else ''}.jpg"

    def read(self, small=False):
        """The JPEG's bytes."""
        with default_storage.open(self.path(small)) as stored:
            return stored.read()

    def as_src(self):
        """The `src` of an `<img>` on a sheet, which fetches nothing; the PDF keeps only the pixels it prints."""
        return "data:image/jpeg;base64," + b64encode(self.read()).decode()


class PhotoField(forms.FileField):
    """A photo from the camera or a file; cleans to a CleanPhoto, or None. A form with it is sent as multipart."""

    def __init__(self, **kwargs):
        kwargs.setdefault("label", _("photo"))
        kwargs.setdefault("widget", forms.FileInput(attrs={"accept": "image/*"}))
        super().__init__(required=kwargs.pop("required", False), **kwargs)

    def clean(self, value, initial=None):
        upload = super().clean(value, initial)
        if not upload:
            return None
        if upload.size > MOST_BYTES:
            raise forms.ValidationError(_too_large())
        try:
            return clean_photo(upload.read())
        except Refused as refusal:
            raise forms.ValidationError(refusal.message) from None

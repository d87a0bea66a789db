import hashlib

from django.core.files.storage import default_storage
from django.db import models
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _t

from parts.workshop.files import keep_file
from parts.workshop.refusal import Refused


class Document(models.Model):
    """A frozen document: its PDF lies on disk under its own hash, its data beside it. Never changed."""

    kind = models.CharField(max_length=20)
    number = models.CharField(max_length=20)
    issue = models.PositiveSmallIntegerField(default=1)
    title = models.CharField(max_length=160)
    sha256 = models.CharField(max_length=64)
    data = models.JSONField(default=dict)
    made_at = models.DateTimeField(default=timezone.now)
    erased_at = models.DateTimeField(null=True, blank=True)  # with its client's data: the row stays, the PDF is gone

    class Meta:
        ordering = ["kind", "number", "issue"]
        constraints = [models.UniqueConstraint(fields=["kind", "number", "issue"], name="document_once")]

    def __str__(self):
        return self.title

    @property
    def path(self):
        return f"documents/{self.sha256[:2]}/{self.sha256}.pdf"

    @property
    def file_name(self):
        return f"{self.kind}-{self.number}-{self.issue}.pdf"

    @classmethod
    def freeze(cls, *, kind, number, title, pdf, issue=1, data=None):
        """Write the PDF to disk under its hash, then its row: a row never points to a missing file.

        Refused, in plain words, when the disk is full or may not be written.
        """
        document = cls(
            kind=kind,
            number=number,
            issue=issue,
            title=title,
            data=data or {},
            sha256=hashlib.sha256(pdf).hexdigest(),
        )
        keep_file(document.path, pdf)
        document.save()
        return document

    def read(self):
        """The PDF's bytes; ValueError when they no longer match the hash, Refused when it was erased."""
        if self.erased_at:
            day = date_format(self.erased_at)
            raise Refused(_t("This document was erased on %(day)s with its client's data.") % {"day": day})
        with default_storage.open(self.path) as stored:
            pdf = stored.read()
        if hashlib.sha256(pdf).hexdigest() != self.sha256:
            raise ValueError(f"{self.file_name} on disk is not the document that was frozen")
        return pdf

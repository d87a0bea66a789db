"""Private links to a job's client page, and each time one was opened."""

import hashlib
import secrets
from datetime import timedelta

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from parts.workshop import audit
from parts.workshop.models import Person
from parts.workshop.refusal import Refused

TOKEN_BYTES = 32  # 256 bits: nobody guesses one
USUAL_DAYS = 180
MOST_DAYS = 730


def digest(token):
    """What is kept of a link's token: its SHA-256."""
    return hashlib.sha256(token.encode()).hexdigest()


class LinkQuerySet(models.QuerySet):
    def visible_to(self, person):
        """Who sees a client's page is the owner's business alone."""
        return self if person.is_owner else self.none()

    def open(self):
        """Links that open their page today."""
        return self.filter(revoked_at=None, expires_on__gte=timezone.localdate())

    def holding(self, token):
        """The link a token belongs to, with all its page needs of the job in one query; None for a guess."""
        links = self.select_related("job__client", "job__tray", "job__pack__document")
        return links.filter(token_sha256=digest(token)).first()


class Link(models.Model):
    """A private link to one job's client page. The token itself is shown once and kept by nobody here."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="links")
    token_sha256 = models.CharField(max_length=64, unique=True)
    ending = models.CharField(max_length=4)
    whom = models.CharField(_("for whom"), max_length=60, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    made_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    expires_on = models.DateField(_("opens until"))
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = LinkQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self):
        return f"…{self.ending}"

    @classmethod
    @transaction.atomic
    def make(cls, job, by, expires_on=None, whom=""):
        """A new link and its token, which cannot be shown again: (link, token)."""
        today = timezone.localdate()
        expires_on = expires_on or today + timedelta(days=USUAL_DAYS)
        if not today <= expires_on <= today + timedelta(days=MOST_DAYS):
            raise Refused(_t("Type a day from today on, at most two years ahead."), "expires_on")
        token = secrets.token_urlsafe(TOKEN_BYTES)
        link = cls.objects.create(
            job=job, token_sha256=digest(token), ending=token[-4:], whom=whom, made_by=by, expires_on=expires_on
        )
        audit.record(by, "made link", f"job {job}", after={"link": str(link), "whom": whom, "expires_on": expires_on})
        return link, token

    @property
    def has_run_out(self):
        return self.expires_on < timezone.localdate()

    @property
    def is_open(self):
        return self.revoked_at is None and not self.has_run_out

    @transaction.atomic
    def revoke(self, by):
        """Shut it for good; a second time changes nothing."""
        if Link.objects.filter(pk=self.pk, revoked_at=None).update(revoked_at=timezone.now()):
            audit.record(by, "revoked link", f"job {self.job}", after={"link": str(self)})


class Opening(models.Model):
    """One opening of a link."""

    link = models.ForeignKey(Link, models.CASCADE, related_name="openings")
    at = models.DateTimeField(default=timezone.now)
    address = models.GenericIPAddressField(null=True)
    browser = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{self.link} {self.at:%Y-%m-%d %H:%M}"

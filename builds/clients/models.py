from django.core.validators import RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from parts.workshop.models import Versioned


class ClientQuerySet(models.QuerySet):
    def visible_to(self, person):
        """Clients are the owner's business alone."""
        return self if person.is_owner else self.none()

    def matching(self, words):
        """Clients of whom every word stands in name, contact, e-mail or phone."""
        found = self
        for word in words.split():
            anywhere = models.Q()
            for column in ("name", "contact", "email", "phone"):
                anywhere |= models.Q(**{f"{column}__icontains": word})
            found = found.filter(anywhere)
        return found


class Client(Versioned):
    """Who commissions a machine."""

    name = models.CharField(_("name"), max_length=120)
    contact = models.CharField(_("person to ask for"), max_length=120, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    address = models.TextField(_("address"), blank=True)
    country = models.CharField(
        _("country"), max_length=2, blank=True,
        validators=[RegexValidator(r"^[A-Z]{2}$", _("Two capital letters, as in NL (ISO 3166-1)."))],
        help_text=_("Empty: the workshop's own."),
    )  # fmt: skip
    tax_number = models.CharField(_("tax number"), max_length=40, blank=True)
    note = models.TextField(_("note"), blank=True)
    erased_at = models.DateTimeField(null=True, blank=True, editable=False)
    papers_until = models.DateField(null=True, blank=True, editable=False)  # what tax law keeps after the erasure

    objects = ClientQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name

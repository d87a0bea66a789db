from django.db import models
from django.utils.translation import gettext_lazy as _

from parts.kinds import get_kind, kind_choices
from parts.workshop.models import Versioned


class PartQuerySet(models.QuerySet):
    def with_facts(self):
        return self.prefetch_related("facts")

    def matching(self, words):
        """Parts whose name, maker or model holds every word."""
        found = self
        for word in words.split():
            found = found.filter(search__icontains=word.casefold())
        return found


class Part(Versioned):
    """Something that can be bought and built in."""

    kind = models.CharField(_("kind"), max_length=24, choices=kind_choices, db_index=True)
    name = models.CharField(_("name"), max_length=160)
    maker = models.CharField(_("maker"), max_length=80, blank=True)
    model = models.CharField(_("model"), max_length=80, blank=True)
    warranty_months = models.PositiveSmallIntegerField(_("warranty, months"), null=True, blank=True)
    note = models.TextField(_("note"), blank=True)
    withdrawn = models.BooleanField(_("withdrawn"), default=False)
    successor = models.ForeignKey(
        "self", models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("successor")
    )
    search = models.CharField(max_length=340, editable=False, db_index=True)

    objects = PartQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "name"]
        constraints = [models.UniqueConstraint(fields=["kind", "name"], name="part_once_per_kind")]

    def __str__(self):
        return self.name

    def save(self, *args, **kwargs):
        self.search = " ".join(filter(None, [self.name, self.maker, self.model])).casefold()
        super().save(*args, **kwargs)

    @property
    def spec(self):
        """The declaration of this part's kind."""
        return get_kind(self.kind)

    @property
    def unit(self):
        return self.spec.unit

    @property
    def known(self):
        """Best value of each fact by name: measured beats declared beats typical. Uses prefetched facts."""
        best = {}
        for fact in sorted(self.facts.all(), key=lambda f: f.rank, reverse=True):
            best[fact.name] = fact
        return best

    def fact(self, name):
        """The best value of one fact (float, text or bool), or None when it is not known."""
        found = self.known.get(name)
        return found.value if found else None


class Fact(models.Model):
    """One fact of a part from one origin: a number in the unit its kind declares, or a text."""

    MEASURED, DECLARED, TYPICAL = "measured", "declared", "typical"
    ORIGINS = [
        (MEASURED, _("measured by us")),
        (DECLARED, _("as declared")),
        (TYPICAL, _("typical, from memory")),
    ]

    part = models.ForeignKey(Part, models.CASCADE, related_name="facts")
    name = models.CharField(max_length=40)
    origin = models.CharField(max_length=8, choices=ORIGINS, default=DECLARED)
    number = models.FloatField(null=True)
    text = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["part", "name", "origin"], name="fact_once_per_origin")]
        indexes = [models.Index(fields=["name", "number"])]

    def __str__(self):
        return f"{self.name} {self.value}"

    @property
    def rank(self):
        return [origin for origin, _label in self.ORIGINS].index(self.origin)

    @property
    def value(self):
        return self.text if self.number is None else self.number
